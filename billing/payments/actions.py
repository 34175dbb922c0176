from datetime import date, datetime
from decimal import Decimal

from django.db import IntegrityError, transaction
from django.db.models import Sum

from billing.invoices.models import Invoice
from billing.invoices.queries import address_for_invoices, licences_waiting_for
from billing.invoices.snapshot import invoice_from_json
from billing.payments.models import Payment, Reminder
from billing.payments.queries import deposits_in_doubt, job_paid_on, papers_of_job, settlement_of
from shared.business.queries import today
from shared.dates import days_late
from shared.errors import Refusal
from shared.evidence.actions import conceal, record_evidence
from shared.money import round_money
from shared.outbox.actions import queue_mail
from shared.words import formats
from shoots.brief.actions import lock_shoots
from shoots.licences.actions import start_licence
from shoots.licences.models import Licence, LicenceState
from shoots.life.actions import refund_licence

LAST_STEP = 3
TEMPLATES = {1: "reminder_first", 2: "reminder_second", LAST_STEP: "reminder_last"}


class NotPayable(Refusal):
    """Money cannot be recorded on this paper, or not this sum, or not on this day."""


class PaymentUndone(Refusal):
    """The payment was undone before, or is itself the undoing of another."""

    def __init__(self) -> None:
        super().__init__(
            "This payment was undone already.", "Both rows are kept.", "Record the right payment if money came in."
        )


class NotLate(Refusal):
    """A reminder asks for nothing: the invoice is paid, not due, or reminded of today."""


@transaction.atomic
def record_payment(
    invoice: Invoice, *, amount: Decimal, received_on: date, note: str = "", by: str = "", at: datetime
) -> Payment:
    """Money received for an invoice (below 0: paid back). A job paid in full starts its licences, once. Raises NotPayable.

    Part payments and too much are taken as they came; the invoice's page says what is left or too much. The whole fee of a licence
    paid back on its cancelled invoice, while no other bills it, ends that licence.
    """
    lock_shoots(invoice.shoot_id)
    # Deposit and invoice are waited at together: two payments that together pay the job must see each other.
    invoice = Invoice.objects.select_for_update(of=("self",)).select_related("estimate").get(pk=invoice.pk)
    list(papers_of_job(invoice).select_for_update(of=("self",)).order_by("pk"))
    _must_take_money(invoice, amount=amount, received_on=received_on, on=today(at))
    payment = Payment.objects.create(
        invoice=invoice,
        amount=round_money(amount, invoice.currency),
        received_on=received_on,
        note=note,
        recorded_at=at,
        recorded_by=by,
    )
    payload = {
        "payment": payment.pk,
        "amount": str(payment.amount),
        "currency": invoice.currency,
        "received_on": received_on.isoformat(),
        "by": by,
    }
    record_evidence("paid", subject=f"invoice:{invoice.pk}", payload=payload, at=at)
    start_paid_licences(invoice, at=at)
    if payment.amount < 0:
        _refund_what_was_paid_back(invoice, note=note, at=at)
    return payment


@transaction.atomic
def undo_payment(payment: Payment, *, by: str = "", at: datetime) -> Payment:
    """Take back a payment recorded by mistake, by a second row of the opposite sum on the same day. Raises PaymentUndone.

    A licence the payment has started stays as it is: taking it back is a decision of its own.
    """
    payment = Payment.objects.select_related("invoice").get(pk=payment.pk)
    if payment.undoes_id or Payment.objects.filter(undoes=payment).exists():
        raise PaymentUndone
    try:
        with transaction.atomic():
            counter = Payment.objects.create(
                invoice=payment.invoice,
                amount=-payment.amount,
                received_on=payment.received_on,
                undoes=payment,
                recorded_at=at,
                recorded_by=by,
            )
    except IntegrityError as twice:
        raise PaymentUndone from twice
    record_evidence(
        "payment_undone",
        subject=f"invoice:{payment.invoice_id}",
        payload={"payment": payment.pk, "amount": str(counter.amount), "by": by},
        at=at,
    )
    return counter


@transaction.atomic
def start_paid_licences(invoice: Invoice, *, at: datetime) -> list[Licence]:
    """Start the licences of the invoice's job if deposit and invoice are paid in full; those started before are left alone."""
    paid_on = job_paid_on(invoice, today(at))
    if paid_on is None:
        return []
    waiting = list(licences_waiting_for(invoice).select_for_update())
    return [start_licence(licence, paid_on=paid_on, at=at) for licence in waiting]


@transaction.atomic
def remind_of_invoice(invoice: Invoice, *, at: datetime) -> Reminder:
    """The next of three reminders of a late invoice, by e-mail with the paper once more, and recorded. Raises NotLate."""
    invoice = Invoice.objects.select_for_update(of=("self",)).select_related("client", "paper").get(pk=invoice.pk)
    on = today(at)
    if Invoice.objects.filter(deposits_in_doubt(), pk=invoice.pk).exists():
        raise NotLate(
            f"{invoice.shoot} was cancelled, so it is open whether deposit {invoice.number} is owed.",
            "Nothing was sent.",
            "Bill what the cancellation costs, or cancel the deposit by credit note.",
        )
    settlement = settlement_of(invoice, on)
    sent = list(invoice.reminders.all())
    _must_be_late(invoice, is_late=settlement.is_late, sent=sent, on=on)
    to, step = address_for_invoices(invoice.client), len(sent) + 1
    if not to:
        raise NotLate(
            f"{invoice.client} has no e-mail address for invoices.", "Nothing was sent.", "Enter the address first."
        )
    reminder = Reminder.objects.create(invoice=invoice, step=step, sent_at=at)
    queue_mail(
        to=to,
        template=TEMPLATES[step],
        language=invoice.language,
        context={
            "invoice": invoice,
            "shown": invoice_from_json(invoice.snapshot),
            "left": settlement.left,
            "days": days_late(invoice.due_on, on),
            "name": invoice.client.name,
        },
        attachments=[invoice.paper] if invoice.paper else [],
        at=at,
        about=f"invoice:{invoice.pk}",
    )
    record_evidence(
        "reminded",
        subject=f"invoice:{invoice.pk}",
        payload={"step": step, "to": conceal(to), "left": str(settlement.left)},
        at=at,
    )
    return reminder


def _refund_what_was_paid_back(invoice: Invoice, *, note: str, at: datetime) -> None:
    """A fee that moves on to the invoice in place of a cancelled one is no refund; nor is too much, given back."""
    if not invoice.is_cancelled or invoice.licence is None or invoice.licence.state != LicenceState.PAID:
        return
    kept = Payment.objects.filter(invoice__licence=invoice.licence_id).aggregate(all=Sum("amount"))["all"]
    if kept <= 0 and not Invoice.objects.filter(job_key=invoice.job_key, is_cancelled=False).exists():
        refund_licence(invoice.licence, reason=note, at=at)


def _must_take_money(invoice: Invoice, *, amount: Decimal, received_on: date, on: date) -> None:
    if invoice.kind == Invoice.Kind.CREDIT_NOTE:
        raise NotPayable(
            "A credit note is not paid.",
            "Nothing was recorded.",
            "Record what you pay back on the invoice it corrects, as paid back.",
        )
    if not round_money(amount, invoice.currency):
        raise NotPayable("The sum is 0.", "Nothing was recorded.", "Enter the sum that came in.")
    if received_on > on:
        raise NotPayable(
            f"{formats.day(received_on, 'en')} is still to come.",
            "Nothing was recorded.",
            "Enter the day the money was booked.",
        )
    if amount > 0 and invoice.is_cancelled:
        raise NotPayable(
            f"Invoice {invoice.number} is cancelled, so nothing is owed on it.",
            "Nothing was recorded.",
            "Record the payment on the invoice that took its place, or as paid back.",
        )


def _must_be_late(invoice: Invoice, *, is_late: bool, sent: list[Reminder], on: date) -> None:
    if not is_late or invoice.kind == Invoice.Kind.CREDIT_NOTE:
        raise NotLate(f"Invoice {invoice.number} is not late.", "Nothing was sent.", "There is nothing to remind of.")
    if len(sent) >= LAST_STEP:
        raise NotLate(
            "All three reminders were sent.",
            "They are kept below.",
            "Call the client, or ask an adviser how the debt is collected.",
        )
    if sent and today(sent[-1].sent_at) == on:
        raise NotLate("A reminder was written today already.", "Nothing was sent.", "Wait until tomorrow, or call.")
