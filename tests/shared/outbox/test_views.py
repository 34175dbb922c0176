from typing import Any

import pytest
from django.urls import reverse

from shared.outbox.actions import queue_mail, tell_fact
from shared.outbox.models import Job, Message
from tests.factories.shared import EARLY, BusinessProfileFactory, kept_file
from tests.shared.outbox.test_actions import a_link

pytestmark = pytest.mark.django_db


def words(answer: Any) -> str:
    return " ".join(answer.content.decode().replace("&nbsp;", " ").split())


@pytest.fixture
def message() -> Message:
    BusinessProfileFactory()
    context = {"name": "Ivo", "house": "Aldermoor", "role": "assistant", "link": a_link(), "last_on": EARLY.date()}
    return queue_mail(
        to="ivo@lantern.example",
        template="invite",
        language="en",
        context=context,
        at=EARLY,
        about="user:2",
        attachments=[kept_file()],
    )


def test_a_kept_message_shows_its_text_with_the_link_and_is_marked_when_sent_by_hand(
    client_for: Any, owner: Any, message: Message
) -> None:
    client = client_for(owner)
    assert "One message waits for you." in words(client.get(reverse("message_list")))
    page = words(client.get(reverse("message_page", args=[message.pk])))
    assert "http://127.0.0.1:8000/invited/" in page
    assert "Send to" not in page
    assert "I sent it myself" in page
    client.post(reverse("mark_message_sent", args=[message.pk]))
    assert "You sent it yourself" in words(client.get(reverse("message_page", args=[message.pk])))
    assert "No message waits for you." in words(client.get(reverse("message_list")))


def test_with_a_mail_server_the_owner_sends_it_from_the_page(
    client_for: Any, owner: Any, message: Message, settings: Any
) -> None:
    client = client_for(owner)
    refused = client.post(reverse("send_message_again", args=[message.pk]))
    assert refused.status_code == 409
    assert "no mail server" in words(refused)
    settings.MAIL_ADDRESS = "smtp://127.0.0.1:1"
    assert "Send to ivo@lantern.example" in words(client.get(reverse("message_page", args=[message.pk])))
    client.post(reverse("send_message_again", args=[message.pk]))
    message.refresh_from_db()
    assert message.state == Message.State.QUEUED
    assert Job.objects.count() == 1


def test_a_paper_of_a_message_opens_and_another_file_does_not(client_for: Any, owner: Any, message: Message) -> None:
    client, other = client_for(owner), kept_file(b"%PDF-1.7 of somebody else")
    answer = client.get(reverse("message_paper", args=[message.pk, message.attachments.get().pk]))
    assert answer["Content-Type"] == "application/pdf"
    assert client.get(reverse("message_paper", args=[message.pk, other.pk])).status_code == 404


def test_work_that_was_given_up_is_shown_and_taken_up_again(client_for: Any, owner: Any) -> None:
    job = tell_fact("kettle_boiled", at=EARLY)
    Job.objects.update(parked_at=EARLY, problem="the cup was full", tries=6)
    client = client_for(owner)
    assert "the cup was full" in words(client.get(reverse("message_list")))
    client.post(reverse("take_up_job", args=[job.pk]))
    job.refresh_from_db()
    assert job.parked_at is None


def test_a_link_made_with_a_lost_key_is_said_and_not_shown_wrong(
    client_for: Any, owner: Any, message: Message, settings: Any
) -> None:
    settings.SECRET_KEY = "the books were restored without their key"
    page = words(client_for(owner).get(reverse("message_page", args=[message.pk])))
    assert "can no longer be shown" in page
    assert "/invited/" not in page


def test_nobody_else_reads_the_messages(client_for: Any, assistant: Any, accountant: Any, message: Message) -> None:
    for person in (assistant, accountant, None):
        for name, args in (("message_list", []), ("message_page", [message.pk])):
            assert client_for(person).get(reverse(name, args=args)).status_code in (302, 403)
