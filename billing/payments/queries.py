from collections import defaultdict
from collections.abc import Iterable
from datetime import date
from decimal import Decimal
from typing import NamedTuple

from django.db.models import CharField, Exists, OuterRef, Prefetch, Q, QuerySet, Value
from django.db.models.functions import Cast, Concat

from billing.estimates.models import CancellationFee, FeeKind
from billing.invoices.models import Invoice
from billing.invoices.queries import NOT_BY_PAYMENT, OwedRow, owed_rows, papers_named
from billing.payments.models import Payment, Reminder
from billing.payments.settling import Received, Settlement, reminder_due, settle
from shared.business.queries import days_of
from shared.money import ZERO
from shoots.brief.models import ShootState


def with_payments(rows: QuerySet[Invoice]) -> QuerySet[Invoice]:
    """Invoices with their payments and reminders, in two queries more."""
    payments = Prefetch("payments", queryset=Payment.objects.select_related("undoes", "undone_by"))
    return rows.prefetch_related(payments, "reminders")


def settlement_of(invoice: Invoice, on: date) -> Settlement:
    """How an invoice stands on a day, from its payments; a cancelled one owes nothing."""
    payments: Iterable[Payment] = invoice.payments.all()
    return settle(
        ZERO if invoice.is_cancelled else invoice.to_pay,
        [Received(each.received_on, each.amount) for each in payments],
        due_on=invoice.due_on,
        on=on,
    )


def next_reminder(invoice: Invoice, settlement: Settlement, on: date) -> int | None:
    """The step of the reminder that is due, if one is."""
    sent = [each.sent_at for each in invoice.reminders.all()]
    days = days_of(sent)
    return reminder_due(settlement, [days[moment] for moment in sent], on=on)


def deposits_in_doubt() -> Q:
    """Deposits of cancelled shoots until an invoice says what the cancellation costs: they may be owed in part, or not at all."""
    keys = Concat(Value(NOT_BY_PAYMENT), Cast("pk", CharField()))
    last = CancellationFee.objects.filter(kind=FeeKind.CANCELLED).annotate(key=keys).values("key")
    fees = Invoice.objects.filter(shoot=OuterRef("shoot"), is_cancelled=False, job_key__in=last)
    return Q(kind=Invoice.Kind.DEPOSIT, shoot__state=ShootState.CANCELLED) & ~Exists(fees)


class DueReminder(NamedTuple):
    """A late invoice, by its key, how it stands, and the step of the reminder that is due."""

    invoice: int
    settlement: Settlement
    step: int


def reminders_due(on: date, owed: Iterable[OwedRow] | None = None) -> list[DueReminder]:
    """Late invoices whose next reminder is due, the oldest first, in a constant number of queries. See ``deposits_in_doubt``.

    ``owed`` are the ``owed_rows`` where they were read already.
    """
    late = [row for row in (owed_rows() if owed is None else owed) if row.due_on < on]
    if any(row.kind == Invoice.Kind.DEPOSIT and row.shoot_state == ShootState.CANCELLED for row in late):
        doubtful = set(Invoice.objects.filter(deposits_in_doubt()).values_list("pk", flat=True))
        late = [row for row in late if row.pk not in doubtful]
    keys = [row.pk for row in late]
    received, sent = defaultdict(list), defaultdict(list)
    for key, day, amount in Payment.objects.filter(invoice__in=keys).values_list("invoice", "received_on", "amount"):
        received[key].append(Received(day, amount))
    for key, moment in Reminder.objects.filter(invoice__in=keys).order_by("step").values_list("invoice", "sent_at"):
        sent[key].append(moment)
    days = days_of(moment for moments in sent.values() for moment in moments)
    found = []
    for row in late:
        settlement = settle(row.to_pay, received[row.pk], due_on=row.due_on, on=on)
        step = reminder_due(settlement, [days[moment] for moment in sent[row.pk]], on=on)
        if step is not None:
            found.append(DueReminder(row.pk, settlement, step))
    return found


def with_papers(due: Iterable[DueReminder]) -> list[tuple[Invoice, Settlement, int]]:
    """The same with the invoices, for the rows of a page."""
    due = list(due)
    return [
        (paper, each.settlement, each.step)
        for paper, each in zip(papers_named(each.invoice for each in due), due, strict=True)
    ]


def papers_of_job(invoice: Invoice) -> QuerySet[Invoice]:
    """The standing papers that pay for the same job: its deposit and its invoice."""
    papers = Invoice.objects.filter(is_cancelled=False).exclude(kind=Invoice.Kind.CREDIT_NOTE)
    if invoice.licence_id:
        return papers.filter(licence=invoice.licence_id)
    if invoice.estimate_id is None:
        return papers.filter(pk=invoice.pk)
    return papers.filter(estimate__number=invoice.estimate.number).exclude(job_key__startswith=NOT_BY_PAYMENT)


def job_paid_on(invoice: Invoice, on: date) -> date | None:
    """The day the whole job was paid, by deposit and invoice; None while something is open or the invoice is not made yet."""
    papers = list(with_payments(papers_of_job(invoice)))
    if not any(paper.kind == Invoice.Kind.INVOICE for paper in papers):
        return None
    settled = [settlement_of(paper, on) for paper in papers]
    if not all(each.is_settled for each in settled):
        return None
    return max((each.paid_on or paper.issued_on for each, paper in zip(settled, papers, strict=True)), default=None)


def payments_of_month(first: date, until: date) -> QuerySet[Payment]:
    """Money received, and taken back, in the half-open span."""
    return (
        Payment.objects.filter(received_on__gte=first, received_on__lt=until)
        .select_related("invoice__client")
        .order_by("received_on", "pk")
    )


def received_in(first: date, until: date) -> dict[str, Decimal]:
    """Money received in the half-open span, per currency."""
    sums: dict[str, Decimal] = {}
    received = Payment.objects.filter(received_on__gte=first, received_on__lt=until).order_by("received_on", "pk")
    for currency, amount in received.values_list("invoice__currency", "amount"):
        sums[currency] = sums.get(currency, ZERO) + amount
    return sums
