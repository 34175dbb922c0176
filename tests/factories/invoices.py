"""Issued papers, made by the house's own actions, so that they stand as in use."""

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal as D
from typing import Any

from billing.estimates.models import Estimate
from billing.invoices.actions import bill_deposit, issue_invoice
from billing.invoices.draft import DraftLine, InvoiceDraft
from billing.invoices.models import Invoice
from billing.sums.totals import Category
from tests.factories.billing import accepted
from tests.factories.clients import ClientFactory
from tests.factories.shared import BusinessProfileFactory

MONTH_END = datetime(2026, 11, 30, 16, 0, tzinfo=UTC)
DAY = date(2026, 11, 30)


def line(what: str = "Day on set", price: str = "780", quantity: str = "1", **also: Any) -> DraftLine:
    """A line at 19%."""
    return DraftLine(
        **{
            "what": what,
            "quantity": D(quantity),
            "unit_price": D(price),
            "category": Category.STANDARD,
            "rate": D(19),
            **also,
        }
    )


# The lines of the winter menu: 2,079.12 before VAT, 395.03 VAT, 2,474.15 in all.
WINTER_MENU = (
    line("Getting ready", "65", "4", unit="hour", working="Recipe talk, choosing dishes and props, light plan"),
    line("Day on set", "780", unit="day"),
    line("Finishing, 9 pictures", "60", "3.75", unit="hour"),
    line(
        "Licence, 9 pictures", "60", "9", unit="picture", working="Own promotion. €40.00 a picture × 1.5 for two uses"
    ),
    line("Kitchen hand, at cost", "190", unit="day"),
    line("Groceries and props, two receipts", "64.80", working="At cost, net of recoverable VAT"),
    line("Travel", "0.42", "46", unit="kilometre"),
)


def draft(client: Any = None, **also: Any) -> InvoiceDraft:
    """An invoice to come for a client whose particulars are complete."""
    BusinessProfileFactory()
    client = client or ClientFactory(name="Walnut Lantern", invoice_email="books@walnutlantern.example")
    job = also.pop("job_key", None) or f"job:{Invoice.objects.count() + 1}"
    on = also.pop("issued_on", DAY)
    return InvoiceDraft(
        **{
            "job_key": job,
            "kind": "invoice",
            "title": "Winter menu",
            "language": "en",
            "currency": "EUR",
            "client": client.pk,
            "lines": WINTER_MENU,
            "issued_on": on,
            "due_on": on + timedelta(days=14),
            "supplied_on": date(2026, 11, 14),
            **also,
        }
    )


def issued(client: Any = None, *, at: datetime = MONTH_END, **also: Any) -> Invoice:
    """An invoice over €2,474.15 for the winter menu, due on 14 December 2026."""
    return issue_invoice(draft(client, **also), at=at)


def deposit(estimate: Estimate | None = None, *, at: datetime = datetime(2026, 10, 28, 9, 5, tzinfo=UTC)) -> Invoice:
    """The deposit invoice of an accepted estimate."""
    return bill_deposit(estimate or accepted(), at=at)
