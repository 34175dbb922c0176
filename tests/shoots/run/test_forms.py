from datetime import time

import pytest

from shoots.run.forms import ActivityForm, RunForm
from shoots.run.models import Run

FIELDS = {
    "first_set": 45,
    "strike": 30,
    "break_minutes": 30,
    "slack_percent": 15,
    "ovens": 2,
    "burners": 4,
    "version": 1,
}


def form(**typed):
    return ActivityForm(typed, call=time(9), drafted_minutes=12, why="usual")


def test_times_become_minutes_from_the_call_and_empty_fields_none():
    made = form(pinned="10:30", minutes="", hold="3", light_from="11", light_until="12.30")
    assert made.is_valid()
    assert made.changed_to() == {"pinned": 90, "minutes": None, "hold": 3, "window": (120, 210)}
    empty = form()
    assert empty.is_valid()
    assert set(empty.changed_to().values()) == {None}


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"pinned": "25:00"}, "pinned"),
        ({"pinned": "8:30"}, "pinned"),
        ({"minutes": "0"}, "minutes"),
        ({"minutes": "4800"}, "minutes"),
        ({"hold": "-1"}, "hold"),
        ({"light_from": "11:00"}, "light_until"),
        ({"light_until": "11:00"}, "light_from"),
        ({"light_from": "12:00", "light_until": "11:00"}, "light_until"),
    ],
)
def test_what_cannot_be_is_said_at_its_field(typed, field):
    made = form(**typed)
    assert not made.is_valid()
    assert list(made.errors) == [field]


def test_a_kitchen_has_a_burner_and_a_shelf():
    assert RunForm(FIELDS, instance=Run()).is_valid()
    assert set(RunForm({**FIELDS, "ovens": 0, "burners": 0}, instance=Run()).errors) == {"ovens", "burners"}
    assert set(RunForm({**FIELDS, "strike": 9999}, instance=Run()).errors) == {"strike"}
