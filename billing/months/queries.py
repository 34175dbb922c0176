from collections.abc import Mapping
from datetime import date, datetime
from typing import Any

from django.db.models import Exists, OuterRef, QuerySet

from billing.expenses.models import Charge, Expense, Journey
from billing.expenses.queries import with_currency
from billing.invoices.models import Invoice
from billing.invoices.snapshot import invoice_from_json
from billing.jobs.queries import jobs_to_bill, plan_for
from billing.months.accounts import AccountRow
from billing.months.models import MonthRun
from billing.payments.queries import payments_of_month
from shared.business.queries import business_on, today
from shared.dates import last_of_month, month_bounds
from shared.numbers.models import Counter
from shared.numbers.series import format_number


def issue_day(month: date, on: date) -> date:
    """The day the month's invoices bear: its last day, or today while the month is running."""
    return min(last_of_month(month), on)


def month_planned(month: date, *, at: datetime) -> dict[str, Any]:
    """A dry run as plain values: what would be billed on which day, what to look at, what is held back and why."""
    on = today(at)
    issued_on = issue_day(month, on)
    jobs = jobs_to_bill(issued_on)
    plan = plan_for(jobs, issued_on=issued_on, made_on=on)
    return {
        "month": f"{month:%Y-%m}",
        "issued_on": issued_on.isoformat(),
        "invoices": [
            {
                "job": coming.job.key,
                "client": coming.job.client,
                "title": coming.job.title,
                "what": jobs[coming.job.key].what,
                "currency": coming.job.currency,
                "net": str(coming.totals.net),
                "tax": str(coming.totals.tax),
                "gross": str(coming.totals.gross),
                "prepaid": str(coming.totals.prepaid),
                "to_pay": str(coming.to_pay),
                "due_on": coming.due_on.isoformat(),
            }
            for coming in plan.invoices
        ],
        "to_pay": {currency: str(sum_) for currency, sum_ in plan.to_pay().items()},
        "problems": [
            {"job": each.job_key, "why": each.why, "sentence": each.sentence, "way_round": each.way_round}
            for each in plan.problems
        ],
        "held_back": [
            {
                "job": each.job.key,
                "client": each.job.client,
                "title": each.job.title,
                "why": each.why,
                "sentence": each.sentence,
                "way_round": each.way_round,
                "to_pay": str(each.to_pay) if each.to_pay is not None else None,
            }
            for each in plan.held_back
        ],
    }


def month_in_words(said: Mapping[str, Any]) -> str:
    """The same, or what a run did, as lines for a terminal."""
    lines = [f"Month-end {said['month']}, dated {said['issued_on']}."]
    if "made" in said:
        lines += [f"Made {each['number']}: {each['to_pay']}, {each['job']}" for each in said["made"]]
        lines += [f"Not made, {each['job']}: {each['why']}" for each in said["failed"]]
        lines += [] if said["made"] else ["No invoice was made."]
    else:
        lines += [
            f"Would bill {each['client']}, {each['title']}: {each['to_pay']} {each['currency']}, due {each['due_on']}"
            for each in said["invoices"]
        ]
        lines += [] if said["invoices"] else ["Nothing would be billed."]
    lines += [f"Look at {each['job']}: {each['sentence']} {each['way_round']}." for each in said["problems"]]
    lines += [
        f"Held back {each['client']}, {each['title']}: {each['sentence']} {each['way_round']}."
        for each in said["held_back"]
    ]
    return "\n".join(lines)


def late_costs() -> QuerySet[Expense]:
    """Costs to charge on that came in after their job was billed."""
    return _late(Expense).order_by("spent_on", "pk")


def late_journeys() -> QuerySet[Journey]:
    """Own travel to charge on that was recorded after its job was billed."""
    return _late(Journey).order_by("travelled_on", "pk")


def _late(model: type[Expense] | type[Journey]) -> QuerySet[Any]:
    billed = Invoice.objects.filter(kind=Invoice.Kind.INVOICE, is_cancelled=False, shoot=OuterRef("shoot"))
    found = model._default_manager.filter(Exists(billed), billed_on="").exclude(charge=Charge.NOT)
    return found.select_related("shoot__client")


def next_numbers(count: int, *, on: date) -> tuple[str, str]:
    """The first and the last number ``count`` invoices would get if nobody else issues one first."""
    profile = business_on(on)
    prefix = profile.invoice_prefix if profile else ""
    last = Counter.objects.filter(series="invoice", year=on.year).values_list("last", flat=True).first() or 0
    return format_number(prefix, on.year, last + 1), format_number(prefix, on.year, last + max(count, 1))


def later_invoice(on: date) -> Invoice | None:
    """An invoice of the same year dated after ``on``: a new one would get the higher number and the earlier date."""
    issued = Invoice.objects.exclude(kind=Invoice.Kind.CREDIT_NOTE)
    return issued.filter(issued_on__gt=on, issued_on__year=on.year).order_by("number").first()


def runs_of(month: date) -> QuerySet[MonthRun]:
    """The runs of a month, the newest first, with their invoices."""
    return MonthRun.objects.filter(month=month).prefetch_related("invoices__client")


def made_and_not_sent(month: date) -> QuerySet[Invoice]:
    """Invoices made by runs of this month that stand and have not gone out."""
    return (
        Invoice.objects.filter(month_runs__month=month, sent_at=None, is_cancelled=False)
        .select_related("client", "paper")
        .distinct()
        .order_by("number")
    )


def account_rows(month: date) -> list[AccountRow]:
    """The month for the accountant: papers by their date, payments by the day they were booked, costs by the day they were spent."""
    first, until = month_bounds(month)
    return [*_paper_rows(first, until), *_payment_rows(first, until), *_cost_rows(first, until)]


def _paper_rows(first: date, until: date) -> list[AccountRow]:
    papers = Invoice.objects.filter(issued_on__gte=first, issued_on__lt=until).select_related("client", "shoot")
    rows = []
    for paper in papers.order_by("issued_on", "pk"):
        shown = invoice_from_json(paper.snapshot)
        sign = -1 if shown.corrects else 1
        rows += [
            AccountRow(
                kind=paper.kind,
                number=paper.number,
                day=paper.issued_on,
                due_on=None if shown.corrects else paper.due_on,
                party=shown.to[0],
                party_vat_number=shown.client_vat_number,
                what=shown.title,
                currency=paper.currency,
                tax_category=group.category,
                tax_percent=group.rate,
                net=sign * group.base,
                tax=sign * group.tax,
                gross=sign * (group.base + group.tax),
                refers_to=shown.corrects or " ".join(deposit.number for deposit in shown.deposits),
                reference=paper.reference,
                shoot=str(paper.shoot or ""),
            )
            for group in shown.left
        ]
    return rows


def _payment_rows(first: date, until: date) -> list[AccountRow]:
    return [
        AccountRow(
            kind="payment",
            number=str(payment.pk),
            day=payment.received_on,
            party=payment.invoice.client.legal_name or payment.invoice.client.name,
            what=payment.note,
            currency=payment.invoice.currency,
            gross=payment.amount,
            refers_to=payment.invoice.number,
            reference=payment.invoice.reference,
        )
        for payment in payments_of_month(first, until)
    ]


def _cost_rows(first: date, until: date) -> list[AccountRow]:
    costs = Expense.objects.filter(spent_on__gte=first, spent_on__lt=until).select_related("shoot")
    journeys = Journey.objects.filter(travelled_on__gte=first, travelled_on__lt=until).select_related("shoot")
    return [
        *(
            AccountRow(
                kind="cost",
                number=str(cost.pk),
                day=cost.spent_on,
                party=cost.supplier,
                what=cost.what,
                currency=cost.currency,
                net=cost.net,
                tax=cost.tax,
                gross=cost.gross,
                refers_to=cost.billed_on,
                shoot=str(cost.shoot or ""),
            )
            for cost in costs.order_by("spent_on", "pk")
        ),
        *(
            AccountRow(
                kind="journey",
                number=str(journey.pk),
                day=journey.travelled_on,
                what=f"{journey}, {journey.distance} {journey.unit}, {journey.rate_name}",
                currency=currency,
                net=journey.allowance,
                gross=journey.allowance,
                refers_to=journey.billed_on,
                shoot=str(journey.shoot or ""),
            )
            for journey, currency in with_currency(journeys.order_by("travelled_on", "pk"))
        ),
    ]
