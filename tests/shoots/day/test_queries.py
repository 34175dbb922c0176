from datetime import UTC, datetime

import pytest

from shoots.day.actions import press_take, undo_take
from shoots.day.queries import client_names, last_take, set_screen, shot_on_the_table, takes_standing
from shoots.plan.queries import shots_of
from tests.factories.plan import planned_shoot

pytestmark = pytest.mark.django_db
AT = datetime(2026, 11, 14, 9, 30, tzinfo=UTC)


def test_the_screen_shows_the_next_open_shot_and_what_to_say():
    shoot = planned_shoot()
    screen = set_screen(shoot, at=AT)
    assert screen["shot"] == next(iter(shots_of(shoot)))
    assert (screen["number"], screen["behind"], screen["of"]) == (1, 0, len(list(shots_of(shoot))))


def test_the_end_of_the_day_names_promises_not_taken():
    shoot = planned_shoot()
    assert "not_taken" in set_screen(shoot, at=AT, wanted="end")
    assert shot_on_the_table(list(shots_of(shoot)), wanted="end") is None


def test_who_may_say_ok_is_the_cook_when_nobody_decides():
    assert client_names(planned_shoot()) == ["Maro Lantadze"]


def test_only_what_was_not_undone_stands():
    shoot = planned_shoot()
    shot = next(iter(shots_of(shoot)))
    done = press_take(shot, outcome="done", at=AT)
    assert (list(takes_standing(shot)), last_take(shoot)) == ([done], done)
    undo_take(done, at=AT)
    assert (list(takes_standing(shot)), last_take(shoot)) == ([], None)
