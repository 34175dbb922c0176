from shared.outbox.actions import queue_mail, tell_fact
from shared.outbox.models import Message
from tests.factories.shared import EARLY, BusinessProfileFactory, kept_file
from tests.house.pages import Deed, Page, Paper
from tests.shared.outbox.test_actions import a_link


def a_message(papers: int = 1) -> Message:
    BusinessProfileFactory()
    words = {"name": "Ivo", "house": "Aldermoor", "role": "assistant", "link": a_link(), "last_on": EARLY.date()}
    return queue_mail(
        to="ivo@lantern.example", to_name="Ivo Pellander", template="invite", language="en", context=words, at=EARLY,
        about="user:2", attachments=[kept_file(name=f"Paper {number}.pdf") for number in range(papers)],
    )  # fmt: skip


def message_list(rows: int) -> str:
    for _ in range(rows):
        a_message()
    return "/messages/"


def message_paper(rows: int) -> str:
    message = a_message()
    return f"/messages/{message.pk}/papers/{message.attachments.get().pk}/"


PAGES = {
    "message_list": Page(message_list, lists=True),
    "message_page": Page(lambda rows: f"/messages/{a_message(rows).pk}/", lists=True),
    "message_paper": Paper(message_paper),
    "send_message_again": Deed(lambda rows: f"/messages/{a_message().pk}/send/"),
    "mark_message_sent": Deed(lambda rows: f"/messages/{a_message().pk}/sent-by-hand/"),
    "take_up_job": Deed(lambda rows: f"/messages/jobs/{tell_fact('nobody_listens', at=EARLY).pk}/try/"),
}
