from datetime import date

import pytest

from shared.business.actions import DayTaken, correct_profile, start_profile
from shared.business.models import BusinessProfile
from shared.edits import EditedMeanwhile
from shared.evidence.models import Evidence
from shared.evidence.queries import revealed
from tests.factories.shared import EARLY, BusinessProfileFactory

pytestmark = [pytest.mark.both, pytest.mark.django_db]


def test_a_new_entry_holds_from_its_day_on_and_the_one_before_stays() -> None:
    first = BusinessProfileFactory()
    moved = BusinessProfile.objects.get(pk=first.pk)
    moved.street, moved.valid_from = "Ropewalk 2", date(2027, 1, 1)
    start_profile(moved, at=EARLY)
    assert [(entry.valid_from, entry.street) for entry in BusinessProfile.objects.all()] == [
        (date(2026, 1, 1), "Glover Yard 9"),
        (date(2027, 1, 1), "Ropewalk 2"),
    ]


def test_two_entries_cannot_begin_on_one_day() -> None:
    twin = BusinessProfile.objects.get(pk=BusinessProfileFactory().pk)
    with pytest.raises(DayTaken, match="2026-01-01"):
        start_profile(twin, at=EARLY)
    assert BusinessProfile.objects.count() == 1


def test_of_two_people_who_correct_the_entry_the_second_is_told() -> None:
    profile = BusinessProfileFactory()
    other = BusinessProfile.objects.get(pk=profile.pk)
    correct_profile(profile, ["street"], version=1, at=EARLY)
    with pytest.raises(EditedMeanwhile):
        correct_profile(other, ["street"], version=1, at=EARLY)


def test_which_account_stood_on_papers_is_in_the_evidence_without_the_account_itself() -> None:
    profile = BusinessProfileFactory()
    correct_profile(profile, ["iban"], version=1, at=EARLY)
    row = Evidence.objects.get()
    assert row.kind == "profile_changed"
    assert profile.iban not in str(row.payload)
    assert revealed(row.payload["iban"]) == profile.iban
