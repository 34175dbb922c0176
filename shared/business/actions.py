from collections.abc import Iterable
from datetime import date, datetime

from django.db import IntegrityError, transaction

from shared.business.models import BusinessProfile
from shared.business.queries import forget_profiles
from shared.edits import save_edit
from shared.errors import Refusal
from shared.evidence.actions import conceal, record_evidence


class DayTaken(Refusal):
    """An entry of the profile begins on that day already."""

    def __init__(self, day: date) -> None:
        self.day = day
        super().__init__(
            f"An entry of the business profile begins on {day.isoformat()} already.",
            "Nothing was changed.",
            "Open that entry to change it, or choose another day.",
        )


@transaction.atomic
def start_profile(profile: BusinessProfile, *, at: datetime) -> BusinessProfile:
    """The first entry of the profile, or a new one that holds from its ``valid_from`` on. Raises ``DayTaken``."""
    profile.pk = None
    profile.version = 1
    profile._state.adding = True  # noqa: SLF001  Django documents this way to copy a row
    try:
        with transaction.atomic():
            profile.save(force_insert=True)
    except IntegrityError as twin:
        raise DayTaken(profile.valid_from) from twin
    _record(profile, at)
    return profile


@transaction.atomic
def correct_profile(profile: BusinessProfile, fields: Iterable[str], *, version: int, at: datetime) -> BusinessProfile:
    """Corrects an entry from its first day on; papers issued before keep what they said. Raises ``EditedMeanwhile``."""
    save_edit(profile, fields, version=version)
    _record(profile, at)
    return profile


def _record(profile: BusinessProfile, at: datetime) -> None:
    """Which bank account stood on papers from when is worth a proof: a changed account is how invoices are diverted."""
    forget_profiles()
    record_evidence(
        "profile_changed",
        subject=f"business:{profile.pk}",
        payload={
            "valid_from": profile.valid_from.isoformat(),
            "version": profile.version,
            "iban": conceal(profile.iban),
        },
        at=at,
    )
