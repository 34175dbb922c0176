from django.urls import reverse
from django.utils import timezone

from billing.estimates.models import Estimate
from billing.orders import actions
from tests.billing.estimates.pages import at, draft_sent
from tests.factories.billing import accepted, offer_link
from tests.house.pages import Deed, Page, Panel, Paper


def open_offer(rows: int) -> Estimate:
    estimate = draft_sent(rows)
    for row in range(rows):
        actions.ask_question(estimate, name="Maro Lantadze", text=f"Is Sunday possible? ({row})", at=timezone.now())
    return estimate


def agreed(rows: int) -> Estimate:
    return accepted(draft_sent(rows), at=timezone.now())


def question(rows: int) -> str:
    return reverse("answer_question", args=[open_offer(1).questions.get().pk])


PAGES = {
    "send_estimate": Page(at("send_estimate"), lists=True),
    "estimate_cancel_shoot": Page(lambda rows: reverse("estimate_cancel_shoot", args=[agreed(rows).shoot_id])),
    "remind_client": Deed(at("remind_client", open_offer)),
    "call_back_estimate": Deed(at("call_back_estimate", open_offer)),
    "answer_question": Deed(question),
    "offer": Page(lambda rows: offer_link(open_offer(rows)) + "?option=A", seen_by="stranger", lists=True),
    "offer_sums": Panel(lambda rows: offer_link(open_offer(rows)) + "sums/?option=A", seen_by="stranger"),
    "offer_terms": Page(lambda rows: offer_link(open_offer(rows)) + "terms/", seen_by="stranger"),
    "offer_paper": Paper(lambda rows: offer_link(open_offer(rows)) + "paper/", seen_by="stranger"),
}
