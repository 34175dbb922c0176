from datetime import date
from typing import Any

import pytest

from shared.access.actions import PasswordRefused
from shared.access.models import User
from shared.business.models import BusinessProfile
from studio.preferences.actions import OwnerExists, open_books, save_profile
from tests.factories.shared import EARLY, BusinessProfileFactory, UserFactory
from tests.shared.files.test_pictures import picture

pytestmark = pytest.mark.django_db
WHO = {
    "legal_name": "Tindra Aldermoor", "email": "tindra@aldermoor.example", "password": "walnut oil and smoke",
    "country": "DE", "currency": "EUR", "time_zone": "Europe/Berlin",
}  # fmt: skip


def test_new_books_get_an_owner_and_a_profile_from_the_first_of_the_year() -> None:
    owner = open_books(**WHO, at=EARLY)
    profile = BusinessProfile.objects.get()
    assert owner.is_owner
    assert (profile.legal_name, profile.valid_from) == ("Tindra Aldermoor", date(2026, 1, 1))


def test_books_are_opened_once_and_wholly_or_not_at_all() -> None:
    with pytest.raises(PasswordRefused):
        open_books(**{**WHO, "password": "password"}, at=EARLY)
    assert not User.objects.exists()
    assert not BusinessProfile.objects.exists()
    UserFactory()
    with pytest.raises(OwnerExists, match="have an owner already"):
        open_books(**WHO, at=EARLY)


def saved(profile: BusinessProfile, **typed: Any) -> BusinessProfile:
    opened_from = typed.pop("opened_from", profile.valid_from)
    return save_profile(profile, {"version": profile.version, **typed}, opened_from=opened_from, at=EARLY)


def test_the_same_day_corrects_the_entry_and_another_day_starts_a_new_one() -> None:
    profile = BusinessProfileFactory()
    profile.street = "Ropewalk 2"
    saved(profile)
    assert BusinessProfile.objects.get().street == "Ropewalk 2"
    profile.valid_from = date(2027, 1, 1)
    saved(profile, opened_from=date(2026, 1, 1))
    assert BusinessProfile.objects.count() == 2


def test_a_logo_is_kept_as_a_file_and_can_be_taken_off() -> None:
    profile = saved(BusinessProfileFactory(), logo_file=picture("PNG"))
    stored = BusinessProfile.objects.get().logo
    assert stored is not None
    assert stored.media_type == "image/png"
    saved(profile, drop_logo=True)
    assert BusinessProfile.objects.get().logo is None
