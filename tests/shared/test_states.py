import pytest

from shared.outbox.models import Message
from shared.states import MoveRefused, move
from tests.factories.shared import EARLY

pytestmark = [pytest.mark.both, pytest.mark.django_db]
MOVES = {"kept": frozenset({"queued"}), "queued": frozenset({"sent"})}


def a_message() -> Message:
    return Message.objects.create(to="ivo@lantern.example", subject="x", body="x", state="kept", written_at=EARLY)


def test_a_move_sets_what_goes_with_it() -> None:
    message = a_message()
    move(message, "queued", moves=MOVES, noun="message", problem="")
    move(message, "sent", moves=MOVES, noun="message", sent_at=EARLY)
    assert (message.state, message.sent_at) == ("sent", EARLY)


def test_the_loser_of_a_race_is_told_the_state_the_row_really_has() -> None:
    message = a_message()
    stale = Message.objects.get(pk=message.pk)
    move(message, "queued", moves=MOVES, noun="message")
    with pytest.raises(MoveRefused, match="This message is waiting to be sent and cannot become queued") as told:
        move(stale, "queued", moves=MOVES, noun="message")
    assert told.value.was == "waiting to be sent"
    assert stale.state == "queued"


def test_a_move_that_is_not_in_the_table_changes_nothing() -> None:
    message = a_message()
    with pytest.raises(MoveRefused):
        move(message, "sent", moves=MOVES, noun="message", sent_at=EARLY)
    assert (message.state, message.sent_at) == ("kept", None)
