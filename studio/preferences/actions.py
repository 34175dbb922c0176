from datetime import datetime
from typing import Any

from django.db import transaction

from shared.access.actions import make_owner
from shared.access.models import User
from shared.access.queries import books_have_an_owner
from shared.business.actions import correct_profile, start_profile
from shared.business.models import BusinessProfile
from shared.business.queries import today
from shared.errors import Refusal
from shared.files.actions import keep_file


class OwnerExists(Refusal):
    """The books were begun already."""

    status = 410

    def __init__(self) -> None:
        super().__init__(
            "These books have an owner already.",
            "Nothing was changed.",
            "Sign in. If you forgot the password, set a new one with manage.py changepassword.",
        )


@transaction.atomic
def open_books(
    *, legal_name: str, email: str, password: str, country: str, currency: str, time_zone: str, at: datetime
) -> User:
    """The first owner and the first entry of the business profile, together. Raises ``OwnerExists`` or ``PasswordRefused``."""
    if books_have_an_owner():
        raise OwnerExists
    owner = make_owner(name=legal_name, email=email, password=password)
    profile = BusinessProfile(
        legal_name=legal_name,
        email=email,
        country=country,
        currency=currency,
        time_zone=time_zone,
        account_name=legal_name[:70],
    )
    profile.valid_from = today(at).replace(month=1, day=1)  # papers of this year may be dated before today
    start_profile(profile, at=at)
    return owner


@transaction.atomic
def save_profile(profile: BusinessProfile, typed: dict[str, Any], *, opened_from: Any, at: datetime) -> BusinessProfile:
    """Saves what was typed: the opened entry is corrected, or a new one starts where another first day was given.

    Raises ``EditedMeanwhile``, ``DayTaken`` or what ``keep_file`` raises.
    """
    for name in ("logo", "signature"):
        if typed.get(f"drop_{name}"):
            setattr(profile, name, None)
        if typed.get(f"{name}_file"):
            setattr(profile, name, keep_file(typed[f"{name}_file"], name=f"{name}-{at:%Y-%m-%d}", kind=name, at=at))
    if opened_from is None or profile.valid_from != opened_from:
        return start_profile(profile, at=at)
    fields = [
        field.name
        for field in BusinessProfile._meta.concrete_fields
        if field.name not in ("id", "version", "changed_at")
    ]
    return correct_profile(profile, fields, version=typed["version"], at=at)
