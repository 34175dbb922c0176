"""Issued papers, made by the house's own actions, so that they stand as in use."""

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal as D
from typing import Any

from billing.estimates.models import Estimate, EstimateLine
from billing.expenses.models import Expense
from billing.invoices.actions import bill_deposit, issue_invoice
from billing.invoices.draft import DraftLine, InvoiceDraft
from billing.invoices.models import Invoice
from billing.orders.actions import accept_estimate, send_estimate
from billing.sums.totals import Category
from shoots.brief.actions import mark_delivered, mark_shot
from tests.factories.billing import accepted, drafted
from tests.factories.clients import ClientFactory
from tests.factories.shared import BusinessProfileFactory

MONTH_END = datetime(2026, 11, 30, 16, 0, tzinfo=UTC)
DAY = date(2026, 11, 30)
AGREED_AT = datetime(2026, 10, 28, 9, 0, tzinfo=UTC)


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


LINES: tuple[dict[str, Any], ...] = (
    {"kind": "shooting_day", "what": "Day on set", "quantity": D(1), "unit": "day", "unit_price": D(780)},
    {"kind": "usage", "what": "Licence", "quantity": D(6), "unit": "picture", "unit_price": D(60)},
)
GROCERIES: dict[str, Any] = {
    "kind": "food_and_props", "what": "Groceries", "quantity": D(1), "unit_price": D(60), "is_at_cost": True, "is_at_most": True,
}  # fmt: skip


def agreed(
    name: str = "Walnut Lantern",
    *,
    lines: Any = LINES,
    title: str = "Winter menu",
    at: datetime = AGREED_AT,
    **also: Any,
) -> Estimate:
    """An accepted estimate with these lines; the deposit is billed only where a test says so. ``terms`` are fields of the estimate."""
    terms = {"deposit_percent": D(0), **also.pop("terms", {})}
    client = also.pop("client", None) or ClientFactory(
        name=name, invoice_email=f"books@{name.lower().replace(' & ', '-').replace(' ', '-')}.example"
    )
    row = drafted(client=client, title=title, at=at, **also)
    Estimate.objects.filter(pk=row.pk).update(**terms)
    option = row.options.get()
    option.lines.all().delete()
    EstimateLine.objects.bulk_create(EstimateLine(option=option, order=n, **each) for n, each in enumerate(lines))
    row.refresh_from_db()
    return accept_estimate(
        send_estimate(row, to="maro@walnutlantern.example", to_name="Maro Lantadze", at=at, signed_by=""),
        letter="A", keys=[], name="Maro Lantadze", role="Owner", order_number=also.pop("order_number", ""), at=at,
    )  # fmt: skip


def done(
    estimate: Estimate | None = None,
    *,
    shot_on: date = date(2026, 11, 14),
    delivered_on: date | None = date(2026, 11, 24),
    **also: Any,
) -> Estimate:
    """The job of an accepted estimate, shot and (unless None) delivered."""
    estimate = estimate or agreed(**also)
    shoot = estimate.shoot
    shoot.refresh_from_db()
    mark_shot(shoot, shot_on=shot_on, at=MONTH_END)
    if delivered_on:
        mark_delivered(shoot, delivered_on=delivered_on, at=MONTH_END)
    estimate.refresh_from_db()
    return estimate


def cost(estimate: Estimate, gross: str = "77.11", tax: str = "12.31", *, line_what: str = "", **also: Any) -> Expense:
    """A receipt for the job, under the line of this name."""
    under = estimate.accepted_option.lines.get(what=line_what) if line_what else None
    return Expense.objects.create(
        **{
            "shoot": estimate.shoot,
            "what": "Walnuts and pomegranates",
            "spent_on": date(2026, 11, 13),
            "gross": D(gross),
            "tax": D(tax),
            "charge": "at_cost",
            "estimate_line": under,
            **also,
        }
    )
