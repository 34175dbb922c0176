import uuid
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime, timedelta

import pytest
from django.db import IntegrityError, connection, transaction

from shared.evidence.queries import evidence_about
from shoots.day.actions import (
    UndoTooLate,
    hold_mark,
    hold_marks,
    ok_shot,
    press_take,
    set_hold_limits,
    take_back_ok,
    undo_take,
)
from shoots.day.models import HoldLimit, Mark, Take
from shoots.day.queries import hold_limits
from shoots.day.sending import Sent
from shoots.plan.actions import ShotInUse, remove_shot
from tests.factories.plan import ShotFactory
from tests.factories.shoots import DishFactory

pytestmark = pytest.mark.django_db

AT = datetime(2026, 11, 14, 9, 0, tzinfo=UTC)
LATER = AT + timedelta(seconds=5)


@pytest.mark.parametrize(("outcome", "state"), [("done", "done"), ("again", "repeat"), ("skip", "skipped")])
def test_each_button_leaves_its_mark_and_its_state(outcome, state):
    shot = ShotFactory()
    press_take(shot, outcome=outcome, at=AT, by="tindra", note="yolk broke")
    shot.refresh_from_db()
    assert (shot.state, shot.takes.get().note) == (state, "yolk broke")


def test_a_second_press_within_700_ms_writes_nothing_even_on_the_next_shot():
    shot = ShotFactory()
    following = ShotFactory(shoot=shot.shoot)
    press_take(shot, outcome="done", at=AT, by="tindra")
    assert press_take(following, outcome="done", at=AT + timedelta(milliseconds=400), by="tindra") is None
    assert press_take(following, outcome="done", at=AT + timedelta(milliseconds=400), by="helper")
    assert Take.objects.count() == 2


def test_undo_is_a_later_mark_and_the_shot_stands_as_before():
    shot = ShotFactory()
    press_take(shot, outcome="again", at=AT)
    done = press_take(shot, outcome="done", at=LATER)
    undo_take(done, at=LATER + timedelta(seconds=1))
    shot.refresh_from_db()
    assert shot.state == "repeat"
    assert [take.outcome for take in shot.takes.all()] == ["again", "done", "undo"]


def test_nothing_is_undone_twice_or_after_another_mark():
    shot = ShotFactory()
    first = press_take(shot, outcome="again", at=AT)
    second = press_take(shot, outcome="done", at=LATER)
    with pytest.raises(UndoTooLate):
        undo_take(first, at=LATER)
    undo_take(second, at=LATER)
    with pytest.raises(UndoTooLate):
        undo_take(second, at=LATER)


def test_a_mark_never_changes():
    take = press_take(ShotFactory(), outcome="done", at=AT)
    with pytest.raises(IntegrityError), transaction.atomic():
        Take.objects.filter(pk=take.pk).update(outcome="skip")


def test_the_clients_ok_is_kept_by_name_and_goes_into_the_evidence_log():
    shot = ok_shot(ShotFactory(), name="Maro Lantadze", at=AT)
    assert (shot.okd_by, shot.okd_at) == ("Maro Lantadze", AT)
    shot = take_back_ok(shot, at=LATER)
    assert shot.okd_by == ""
    assert {row.kind for row in evidence_about(f"shot:{shot.pk}")} == {"shot_okd", "shot_ok_taken_back"}


# Marks of a phone


def sent(kind, shot=None, *, at=AT, **also):
    return Sent(key=uuid.uuid4(), kind=kind, pressed_at=at, shot=shot.pk if shot else None, **also)


def hold(shoot, *marks, off=0, at=LATER, by="tindra"):
    hold_marks(shoot, marks, off=off, at=at, by=by)
    return list(Mark.objects.filter(key__in=[mark.key for mark in marks]).order_by("pk"))


@pytest.mark.both
def test_a_mark_sent_twice_is_one():
    shot = ShotFactory()
    mark = sent("done", shot, words="yolk ran well")
    hold(shot.shoot, mark, mark)
    hold(shot.shoot, mark)
    shot.refresh_from_db()
    assert (shot.state, shot.takes.count(), Mark.objects.count()) == ("done", 1, 1)
    assert shot.takes.get().note == "yolk ran well"


def test_every_press_on_a_page_that_is_online_stands_in_the_log_too():
    shot = ShotFactory()
    done = press_take(shot, outcome="done", at=AT, by="tindra", note="at last")
    undo_take(done, at=LATER, by="tindra")
    ok_shot(shot, name="Maro Lantadze", at=LATER)
    take_back_ok(shot, at=LATER)
    assert [mark.kind for mark in shot.marks.order_by("pk")] == ["done", "undo", "ok", "ok_back"]
    assert shot.marks.get(kind="undo").about.take == done


def test_a_mark_that_comes_in_late_does_not_stand_over_a_newer_one():
    shot = ShotFactory()
    hold(shot.shoot, sent("again", shot, at=AT + timedelta(minutes=5)), at=AT + timedelta(minutes=6))
    hold(shot.shoot, sent("done", shot, at=AT), at=AT + timedelta(minutes=9), by="jorun")
    shot.refresh_from_db()
    assert shot.state == "repeat"
    assert [take.outcome for take in shot.takes.all()] == ["done", "again"]


def test_an_undo_from_a_phone_takes_only_its_own_mark_back():
    shot = ShotFactory()
    mine, theirs = sent("done", shot), sent("again", shot, at=AT + timedelta(seconds=1))
    hold(shot.shoot, mine, theirs)
    undo = sent("undo", at=LATER, about=mine.key)
    hold(shot.shoot, undo)
    shot.refresh_from_db()
    assert shot.state == "repeat"
    hold(shot.shoot, sent("undo", at=LATER, about=theirs.key))
    shot.refresh_from_db()
    assert shot.state == "planned"
    twice = hold(shot.shoot, sent("undo", at=LATER, about=mine.key))[0]
    assert (twice.trouble != "", twice.about) == (True, None)


def test_undo_of_the_only_mark_leaves_the_shot_as_it_was():
    shot = ShotFactory(state="repeat")
    done = sent("done", shot)
    hold(shot.shoot, done, sent("undo", at=LATER, about=done.key))
    shot.refresh_from_db()
    assert shot.state == "repeat"


def test_an_ok_from_a_phone_has_its_own_time_and_goes_into_the_evidence_log():
    shot = ShotFactory()
    ok = sent("ok", shot, words="Maro Lantadze")
    hold(shot.shoot, ok)
    shot.refresh_from_db()
    assert (shot.okd_by, shot.okd_at) == ("Maro Lantadze", AT)
    hold(shot.shoot, sent("undo", about=ok.key, at=LATER))
    shot.refresh_from_db()
    assert shot.okd_by == ""
    hold(shot.shoot, sent("ok", shot, words="Maro Lantadze"), sent("ok_back", shot, at=LATER))
    shot.refresh_from_db()
    assert shot.okd_by == ""
    kinds = [row.kind for row in evidence_about(f"shot:{shot.pk}")]
    assert sorted(kinds) == ["shot_ok_taken_back", "shot_ok_taken_back", "shot_okd", "shot_okd"]


def test_undoing_an_ok_or_its_taking_back_brings_the_ok_before_it_back():
    shot = ShotFactory()
    first, second = sent("ok", shot, words="Maro Lantadze"), sent("ok", shot, words="Jorun Fennick", at=LATER)
    hold(shot.shoot, first, second, sent("undo", about=second.key, at=LATER))
    shot.refresh_from_db()
    assert (shot.okd_by, shot.okd_at) == ("Maro Lantadze", AT)
    back = sent("ok_back", shot, at=LATER)
    hold(shot.shoot, back)
    shot.refresh_from_db()
    assert shot.okd_by == ""
    hold(shot.shoot, sent("undo", about=back.key, at=LATER))
    shot.refresh_from_db()
    assert (shot.okd_by, shot.okd_at) == ("Maro Lantadze", AT)
    hold(shot.shoot, sent("undo", about=first.key, at=LATER))
    shot.refresh_from_db()
    assert shot.okd_by == ""


def test_an_unplanned_shot_that_is_undone_is_skipped_unless_it_was_taken():
    beside = ShotFactory()
    made, taken = sent("unplanned", beside, words="A slip"), sent("unplanned", beside, words="The cook laughs")
    hold(beside.shoot, made, taken, Sent(key=uuid.uuid4(), kind="done", pressed_at=AT, unplanned=taken.key))
    hold(beside.shoot, sent("undo", about=made.key), sent("undo", about=taken.key))
    assert {shot.title: shot.state for shot in beside.shoot.shots.exclude(pk=beside.pk)} == {
        "A slip": "skipped",
        "The cook laughs": "done",
    }


def test_an_unplanned_shot_joins_the_list_behind_its_dish_and_is_marked_by_the_phones_own_key():
    dish = DishFactory()
    beside = ShotFactory(shoot=dish.shoot, dish=dish, order=0)
    ShotFactory(shoot=dish.shoot, order=1)
    made = sent("unplanned", beside, words="The cook laughs")
    hold(dish.shoot, made, Sent(key=uuid.uuid4(), kind="done", pressed_at=LATER, unplanned=made.key))
    added = dish.shoot.shots.get(title="The cook laughs")
    assert (added.dish, added.state, added.is_must, added.order) == (dish, "done", False, 1)


@pytest.mark.both
def test_what_cannot_be_done_is_kept_with_the_reason():
    shot, elsewhere = ShotFactory(), ShotFactory()
    rows = hold(
        shot.shoot,
        sent("done", elsewhere),
        sent("undo", about=uuid.uuid4()),
        sent("ok", shot),
        sent("ok", words="Maro Lantadze"),
        sent("ok_back"),
        sent("note"),
        sent("plated", shot),
        sent("cleared", about=uuid.uuid4()),
        sent("tick", item="unheard of", words="Jorun"),
    )
    assert len(rows) == 9
    assert all(row.trouble for row in rows)
    elsewhere.refresh_from_db()
    assert (elsewhere.state, shot.takes.count()) == ("planned", 0)


def test_a_clock_two_hours_off_is_put_right_and_both_times_are_kept():
    shot = ShotFactory()
    two = timedelta(hours=2)
    row = hold(shot.shoot, sent("done", shot, at=AT + two), off=7200)[0]
    assert (row.at, row.phone_at, row.clock_off, shot.takes.get().at) == (AT, AT + two, 7200, AT)
    own = hold(shot.shoot, sent("again", shot, at=AT - two, off=-7200), off=30)[0]
    assert (own.at, own.clock_off) == (AT, -7200)


@pytest.mark.both
def test_the_log_never_changes_and_its_shot_stays_on_the_list():
    shot = ShotFactory()
    hold_mark(shot.shoot, sent("note", shot, words="Plate chipped"), at=LATER, by="tindra")
    with pytest.raises(IntegrityError), transaction.atomic():
        Mark.objects.update(words="nothing")
    with pytest.raises(ShotInUse):
        remove_shot(shot)


def test_own_hold_limits_are_kept_and_ours_come_back():
    set_hold_limits({"foam": 4, "steam": 1, "unheard_of": 3})
    assert {limit.key: limit.minutes for limit in hold_limits()}["foam"] == 4
    assert HoldLimit.objects.count() == 1
    set_hold_limits({"foam": 3})
    assert not HoldLimit.objects.exists()


@pytest.mark.both
@pytest.mark.django_db(transaction=True)
def test_the_same_marks_sent_by_two_requests_at_one_moment_are_held_once():
    shot = ShotFactory()
    marks = [sent("again", shot, at=AT + timedelta(seconds=place)) for place in range(8)]

    def request(_):
        try:
            hold_marks(shot.shoot, marks, off=0, at=LATER, by="tindra")
        finally:
            connection.close()

    with ThreadPoolExecutor(2) as pool:
        list(pool.map(request, range(2)))
    assert [mark.key for mark in Mark.objects.order_by("at")] == [mark.key for mark in marks]
    assert shot.takes.count() == 8
