import pytest

from billing.earnings.forms import WorkedDaysForm
from billing.earnings.models import WorkedDays

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize("wrong", [{"on_set": "-1"}, {"on_set": "367"}, {"on_set": "12345678901"}, {"on_set": "0"}, {}])
def test_days_that_cannot_be_are_said_at_the_field(wrong):
    assert list(WorkedDaysForm({"version": "0"} | wrong, instance=WorkedDays(version=0)).errors) == ["on_set"]


def test_an_empty_kind_is_none_of_it():
    form = WorkedDaysForm({"version": "0", "finishing": "0.5"}, instance=WorkedDays(version=0))
    assert form.is_valid(), form.errors
    assert (form.cleaned_data["on_set"], form.cleaned_data["finishing"]) == (0, form.cleaned_data["finishing"])
