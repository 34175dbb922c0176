import json
import uuid
from datetime import UTC, datetime, timedelta

import pytest

from shoots.day.actions import hold_mark, press_take, undo_take
from shoots.day.models import Mark
from shoots.day.queries import (
    KEPT_FILES,
    client_names,
    day_now,
    day_of,
    end_page,
    held_of,
    log_of,
    promises_of,
    running_clocks,
    set_screen,
    set_shoot,
    set_zone,
    shot_on_the_table,
    takes_standing,
    ticks_of,
    worker_parts,
)
from shoots.day.sending import Sent
from shoots.plan.queries import shots_of
from tests.factories.plan import planned_shoot

pytestmark = pytest.mark.django_db
AT = datetime(2026, 11, 14, 9, 30, tzinfo=UTC)


def test_the_screen_shows_the_next_open_shot_and_what_to_say():
    shoot = planned_shoot()
    screen = set_screen(set_shoot(shoot.pk).get(), at=AT)
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
    assert (list(takes_standing(shot)), day_on_set(shoot).last) == ([done], done)
    undo_take(done, at=AT)
    assert (list(takes_standing(shot)), day_on_set(shoot).last) == ([], None)
    assert day_on_set(shoot).used[shot.pk] == 0


def day_on_set(shoot):
    return day_of(shoot, list(shots_of(shoot)), promises_of(shoot), at=AT)


def held(shoot, kind, **also):
    mark = Sent(key=uuid.uuid4(), kind=kind, pressed_at=AT, **also)
    hold_mark(shoot, mark, at=AT, by="tindra")
    return mark


def test_the_day_a_phone_keeps_is_plain_values_and_counts_takes():
    shoot = planned_shoot()
    shot = next(iter(shots_of(shoot)))
    press_take(shot, outcome="again", at=AT)
    day = json.loads(json.dumps(day_now(shoot, AT)))
    first = day["shots"][0]
    assert (first["key"], first["state"], first["used"], first["last"]) == (shot.pk, "repeat", 1, AT.isoformat())
    assert day["held"] == 1
    assert [each["title"] for each in day["promised"]] == ["Bean stew from above"]
    assert first["used"] == 1


def test_a_promise_stays_among_the_promised_when_its_shot_is_done_so_that_an_undo_without_network_finds_it():
    shoot = planned_shoot()
    for shot in shots_of(shoot):
        press_take(shot, outcome="done", at=AT, by=f"{shot.pk}")
    assert [each["title"] for each in day_now(shoot, AT)["promised"]] == ["Bean stew from above"]
    assert end_page(shoot)["not_taken"] == []


def test_the_set_goes_by_the_clock_of_its_kitchen():
    shoot = planned_shoot()
    shoot.kitchen.time_zone = "Asia/Tokyo"
    shoot.kitchen.save()
    found = set_shoot(shoot.pk).get()
    assert set_zone(found, AT).key == set_screen(found, at=AT)["zone"] == "Asia/Tokyo"
    found.kitchen = None
    assert set_zone(found, AT).key != "Asia/Tokyo"


def test_a_clock_that_was_cleared_by_mistake_runs_on():
    shoot = planned_shoot()
    foam = held(shoot, "plated", words="Milk or egg foam", minutes=3)
    gone = held(shoot, "cleared", about=foam.key)
    assert running_clocks(shoot.marks.all()) == []
    held(shoot, "undo", about=gone.key)
    assert [clock.words for clock in running_clocks(shoot.marks.all())] == ["Milk or egg foam"]


def test_only_what_the_tables_hold_is_named_as_held():
    shoot, other = planned_shoot(), planned_shoot()
    mark = held(shoot, "note", words="Dropped")
    assert held_of(shoot, [mark.key, uuid.uuid4()]) == [str(mark.key)]
    assert held_of(other, [mark.key]) == []


def test_a_clock_runs_until_it_is_cleared_and_the_next_to_go_stands_first():
    shoot = planned_shoot()
    held(shoot, "plated", words="Hollandaise", minutes=10)
    foam = held(shoot, "plated", words="Milk or egg foam", minutes=3)
    assert [clock.words for clock in running_clocks(shoot.marks.all())] == ["Milk or egg foam", "Hollandaise"]
    assert running_clocks(shoot.marks.all())[0].until == AT + timedelta(minutes=3)
    held(shoot, "cleared", about=foam.key)
    assert [clock["words"] for clock in day_now(shoot, AT)["clocks"]] == ["Hollandaise"]


def test_the_end_of_the_day_is_ticked_by_name_and_a_tick_can_be_taken_back():
    shoot = planned_shoot()
    tick = held(shoot, "tick", item="cards", words="Jorun Fennick")
    by_item = {line.item.key: line.mark for line in ticks_of(shoot)}
    assert (by_item["cards"].words, by_item["food"]) == ("Jorun Fennick", None)
    held(shoot, "undo", about=tick.key)
    assert not any(line.mark for line in end_page(shoot)["ticks"])


def test_the_log_tells_all_in_order_and_what_was_undone():
    shoot = planned_shoot()
    note = held(shoot, "note", words="Dropped")
    held(shoot, "undo", about=note.key)
    assert [(mark.kind, bool(mark.undone)) for mark in log_of(shoot)] == [("note", True), ("undo", False)]
    assert Mark.objects.count() == 2


def test_the_worker_knows_every_file_the_page_asks_for():
    program, digest, files = worker_parts()
    assert "KEPT.files" in program
    assert len(digest) == 12
    assert len(files) == len(KEPT_FILES)
