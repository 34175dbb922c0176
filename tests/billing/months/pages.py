from datetime import timedelta

from django.urls import reverse
from django.utils import timezone

from billing.months.actions import run_month
from tests.factories.clients import ClientFactory
from tests.factories.invoices import agreed, cost, done, issued
from tests.factories.shared import BusinessProfileFactory
from tests.house.pages import Deed, Page, Panel, Paper


def this_month() -> str:
    return f"{timezone.now():%Y-%m}"


def jobs(rows: int) -> list[str]:
    """Jobs that are ready, some made before, each with a receipt; their days lie before today."""
    BusinessProfileFactory()
    on = timezone.now().date()
    keys = []
    for _ in range(rows):
        estimate = done(
            agreed(client=ClientFactory(invoice_email="books@walnutlantern.example")),
            shot_on=on - timedelta(days=3),
            delivered_on=on - timedelta(days=1),
        )
        cost(estimate, spent_on=on - timedelta(days=3))
        keys.append(f"estimate:{estimate.number}")
    return keys


def month_page(name: str, rows: int) -> str:
    jobs(rows)
    run_month(timezone.now().date().replace(day=1), at=timezone.now())
    jobs(rows)
    return reverse(name, args=[this_month()])


def money_page(rows: int) -> str:
    for _ in range(rows):
        issued(ClientFactory())
    jobs(rows)
    return reverse("money")


def panel(rows: int) -> str:
    estimate = done()
    for _ in range(rows):
        issued(estimate.shoot.billing_party, shoot=estimate.shoot_id)
    return reverse("shoot_invoices_panel", args=[estimate.shoot_id])


PAGES = {
    "money": Page(money_page, lists=True),
    "month_end": Page(lambda rows: month_page("month_end", rows), lists=True),
    "month_sums": Panel(lambda rows: month_page("month_sums", rows), lists=True),
    "month_drafts": Page(lambda rows: month_page("month_drafts", rows), lists=True),
    "month_draft_paper": Paper(lambda rows: f"{reverse('month_draft_paper', args=[this_month()])}?job={jobs(1)[0]}"),
    "invoices_csv": Paper(lambda rows: month_page("invoices_csv", rows)),
    "shoot_invoices_panel": Panel(panel, lists=True),
    "enter_order_number": Deed(lambda rows: reverse("enter_order_number", args=[this_month()])),
    "send_month": Deed(lambda rows: reverse("send_month", args=[this_month()])),
    "bill_job": Deed(lambda rows: reverse("bill_job")),
}
