from datetime import UTC, datetime, timedelta

import pytest
from django.db import IntegrityError, transaction

from shared.evidence.queries import evidence_about
from shoots.day.actions import UndoTooLate, ok_shot, press_take, take_back_ok, undo_take
from shoots.day.models import Take
from tests.factories.plan import ShotFactory

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
