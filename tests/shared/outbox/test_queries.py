import pytest

from shared.outbox.actions import tell_fact
from shared.outbox.models import Job, Message
from shared.outbox.queries import messages_about, messages_newest_first, messages_waiting_for_you, parked_jobs
from tests.factories.shared import EARLY

pytestmark = pytest.mark.django_db


def test_kept_and_parked_messages_wait_for_a_person_and_the_others_do_not() -> None:
    for state in Message.State:
        Message.objects.create(
            to="ivo@lantern.example", subject="x", body="x", state=state, written_at=EARLY, about=f"test:{state}"
        )
    assert {message.state for message in messages_waiting_for_you()} == {"kept", "parked"}
    assert messages_about("test:sent").get().state == "sent"
    assert len(messages_newest_first()) == 5


def test_parked_mail_shows_as_its_message_and_not_as_work() -> None:
    tell_fact("kettle_boiled", at=EARLY), tell_fact("mail", at=EARLY)
    Job.objects.update(parked_at=EARLY)
    assert parked_jobs().get().kind == "kettle_boiled"
