import pytest

from shared.business.models import BusinessProfile
from shared.edits import EditedMeanwhile, save_edit
from tests.factories.shared import BusinessProfileFactory

pytestmark = [pytest.mark.both, pytest.mark.django_db]


def test_each_edit_counts_and_only_the_named_fields_are_saved() -> None:
    profile = BusinessProfileFactory()
    profile.street, profile.city = "Ropewalk 2", "Elsewhere"
    save_edit(profile, ["street"], version=1)
    stored = BusinessProfile.objects.get()
    assert (stored.street, stored.city, stored.version) == ("Ropewalk 2", "Lindhafen", 2)


def test_a_stale_edit_is_refused_with_the_time_of_the_other_one() -> None:
    profile = BusinessProfileFactory()
    stale = BusinessProfile.objects.get()
    save_edit(profile, ["street"], version=1)
    stale.street = "Kiln Lane 8"
    with pytest.raises(EditedMeanwhile, match="Someone changed this at"):
        save_edit(stale, ["street"], version=1)
    assert BusinessProfile.objects.get().street == "Glover Yard 9"
