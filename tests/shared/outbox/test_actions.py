import email
from collections.abc import Iterator
from datetime import timedelta
from email.policy import default
from typing import Any

import pytest

from shared.links.actions import make_link
from shared.links.models import PrivateLink
from shared.outbox.actions import (
    has_mail_server,
    mark_sent_by_hand,
    queue_mail,
    send_again,
    tell_fact,
    try_job_again,
    work_once,
)
from shared.outbox.letters import MailRefused, full_text
from shared.outbox.models import Job, Message
from shared.outbox.registry import _listeners, on_fact
from shared.outbox.schedule import LEASE
from shared.states import MoveRefused
from tests.factories.shared import EARLY, BusinessProfileFactory, kept_file
from tests.shared.outbox.mailserver import Post

pytestmark = [pytest.mark.both, pytest.mark.django_db]
HOUR = timedelta(hours=1)


@pytest.fixture(autouse=True)
def business() -> None:
    BusinessProfileFactory()


@pytest.fixture
def listeners() -> Iterator[dict[str, list[Any]]]:
    before = {kind: list(found) for kind, found in _listeners.items()}
    yield _listeners
    _listeners.clear()
    _listeners.update(before)


def a_link() -> PrivateLink:
    return make_link("invite", subject="user:2", expires_at=EARLY + timedelta(days=7), at=EARLY)


def a_message(**also: Any) -> Message:
    words: dict[str, Any] = {
        "name": "Ivo & Maro",
        "house": "Aldermoor",
        "role": "assistant",
        "link": a_link(),
        "last_on": EARLY.date(),
    }
    return queue_mail(
        to="ivo@lantern.example", template="invite", language="en", context=words, at=EARLY, about="user:2", **also
    )


def test_without_a_mail_server_a_message_is_kept_and_nothing_says_it_was_sent(settings: Any) -> None:
    settings.MAIL_ADDRESS = ""
    message = a_message()
    assert not has_mail_server()
    assert message.state == Message.State.KEPT
    assert message.sent_at is None
    assert not work_once(EARLY)
    with pytest.raises(MailRefused, match="no mail server"):
        send_again(message, at=EARLY)


def test_the_private_link_is_in_the_text_that_is_shown_and_not_in_the_table() -> None:
    message = a_message()
    stored = Message.objects.values_list("body", flat=True).get()
    assert message.link is not None
    assert "http" not in stored
    assert "http://127.0.0.1:8000/" in full_text(message)
    assert "Ivo & Maro" in stored


def test_a_letter_arrives_whole_with_its_paper(post: Post) -> None:
    message = a_message(attachments=[kept_file(name="Estimate E-2026-047.pdf")], to_name="Ivo Pellander")
    assert work_once(EARLY)
    assert not work_once(EARLY)
    message.refresh_from_db()
    assert (message.state, message.sent_at) == (Message.State.SENT, EARLY)
    letter = email.message_from_string(post.letters[0], policy=default)
    assert letter["To"] == "Ivo Pellander <ivo@lantern.example>"
    assert letter["From"] == "Tindra Aldermoor Food Photography <tindra@aldermoor.example>"
    assert letter["Message-ID"] == f"<{message.pk}@aldermoor.example>"
    body, paper = letter.get_body(), next(letter.iter_attachments())
    assert body is not None
    assert full_text(message).strip() in body.get_content().replace("\r", "")
    assert (paper.get_filename(), paper.get_content()) == ("Estimate E-2026-047.pdf", kept_file().read_bytes())


def test_a_silent_server_is_tried_again_later_with_the_same_message_id_and_then_parked(post: Post) -> None:
    message, at = a_message(), EARLY
    post.is_down = True
    for _ in range(5):
        assert work_once(at)
        message.refresh_from_db()
        assert message.state == Message.State.QUEUED
        assert "closed for today" in message.problem
        assert not work_once(at)
        at += 9 * HOUR
    assert work_once(at)
    message.refresh_from_db()
    assert message.state == Message.State.PARKED
    assert not work_once(at + 100 * HOUR)
    post.is_down = False
    send_again(message, at=at)
    assert work_once(at)
    message.refresh_from_db()
    assert message.state == Message.State.SENT
    assert message.problem == ""
    assert f"<{message.pk}@aldermoor.example>" in post.letters[0]


def test_an_address_that_is_refused_is_parked_at_once_and_shown(post: Post) -> None:
    post.refuse.add("ivo@lantern.example")
    message = a_message()
    work_once(EARLY)
    message.refresh_from_db()
    assert message.state == Message.State.PARKED
    assert "refused the address ivo@lantern.example" in message.problem


def test_without_a_senders_address_the_message_is_parked_with_what_to_do(post: Post) -> None:
    BusinessProfileFactory._meta.model.objects.update(email="")
    message = a_message()
    work_once(EARLY)
    message.refresh_from_db()
    assert message.state == Message.State.PARKED
    assert "business profile has no e-mail" in message.problem


def test_a_message_marked_as_sent_by_hand_is_left_alone(post: Post) -> None:
    message = a_message()
    mark_sent_by_hand(message, at=EARLY + HOUR)
    assert not work_once(EARLY + HOUR)
    assert (message.state, message.sent_at, post.letters) == (Message.State.BY_HAND, EARLY + HOUR, [])
    with pytest.raises(MoveRefused):
        mark_sent_by_hand(message, at=EARLY)


def test_a_fact_reaches_each_listener_once(listeners: Any) -> None:
    heard: list[Any] = []
    on_fact("kettle_boiled")(lambda *, at, kettle: heard.append(("first", at, kettle)))
    on_fact("kettle_boiled")(lambda *, at, kettle: heard.append(("second", at, kettle)))
    tell_fact("kettle_boiled", at=EARLY, kettle=3)
    tell_fact("nobody_listens", at=EARLY)
    later = EARLY + HOUR
    while work_once(later):
        pass
    assert heard == [("first", later, 3), ("second", later, 3)]
    assert not Job.objects.filter(done_at=None).exists()


def test_what_a_failing_listener_wrote_is_undone_and_the_fact_told_again(listeners: Any) -> None:
    fails = [True, False]

    @on_fact("kettle_boiled")
    def pour(*, at: Any) -> None:
        a_link()
        if fails.pop(0):
            raise RuntimeError("the cup was full")

    job = tell_fact("kettle_boiled", at=EARLY)
    work_once(EARLY)
    job.refresh_from_db()
    assert not PrivateLink.objects.exists()
    assert (job.problem, job.tries, job.done_at) == ("the cup was full", 1, None)
    work_once(EARLY + HOUR)
    assert PrivateLink.objects.count() == 1


def test_a_parked_job_is_shown_and_can_be_tried_again(listeners: Any) -> None:
    on_fact("kettle_boiled")(lambda *, at: 1 / 0)
    job, at = tell_fact("kettle_boiled", at=EARLY), EARLY
    while work_once(at):
        at += 10 * HOUR
    job.refresh_from_db()
    assert job.parked_at is not None
    assert job.problem == "division by zero"
    try_job_again(job, at=at)
    assert (job.parked_at, job.tries) == (None, 0)
    assert work_once(at)


def test_a_worker_that_died_loses_its_lease_and_not_the_job(listeners: Any) -> None:
    heard: list[int] = []
    on_fact("kettle_boiled")(lambda *, at: heard.append(1))
    job = tell_fact("kettle_boiled", at=EARLY)
    Job.objects.filter(pk=job.pk).update(leased_until=EARLY + LEASE, leased_by="died", tries=1)
    assert not work_once(EARLY + LEASE - timedelta(seconds=1))
    assert work_once(EARLY + LEASE)
    assert heard == [1]
