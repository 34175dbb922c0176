from datetime import time

import pytest

from shoots.run.forms import ActivityForm, PinForm, RunForm
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


def form(kind="step", **typed):
    return ActivityForm(typed, call=time(9), drafted_minutes=12, why="usual", kind=kind)


def test_times_become_minutes_from_the_call_and_empty_fields_none():
    made = form(pinned="10:30", minutes="", hold="3", light_from="11", light_until="12.30")
    assert made.is_valid()
    said = {"pinned": 90, "minutes": None, "hold": 3, "window": (120, 210), "light": "", "seen": None}
    assert made.changed_to() == said
    empty = form("hero")
    assert empty.is_valid()
    assert set(empty.changed_to().values()) == {None, ""}


def test_a_light_is_chosen_for_what_is_photographed_and_a_minute_is_of_the_day():
    assert "light" not in form("step").fields
    soft = form("hero", light="soft")
    assert soft.is_valid()
    assert soft.changed_to()["light"] == "soft"
    assert list(form("hero", light="moon").errors) == ["light"]
    assert PinForm({"minute": "95"}).is_valid()
    assert [PinForm({"minute": each}).is_valid() for each in ("-5", "soon", "5000", "")] == [False] * 4


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
