from datetime import date
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from billing.invoices.models import Invoice
from billing.invoices.queries import licences_of_job, licences_waiting_for
from billing.payments import actions, queries
from billing.payments.forms import PaymentForm
from billing.payments.models import Payment
from shared.access.doors import BOOKS, NOBODY, OWNER, door
from shared.access.once import once
from shared.business.queries import today
from shared.errors import Refusal
from shared.words.formats import money
from shoots.licences.models import LicenceState


@door(reads=BOOKS)
def invoice_payments_panel(request: HttpRequest, pk: int) -> HttpResponse:
    context = _context(_found(pk), today(timezone.now()))
    return render(request, "billing/payments/panel.html", context)


@door(reads=BOOKS, writes=OWNER)
@once
def record_payment(request: HttpRequest, pk: int) -> HttpResponse:
    invoice, on = _found(pk), today(timezone.now())
    context = _context(invoice, on)
    if request.method == "POST":
        context["form"] = form = PaymentForm(request.POST)
        if form.is_valid():
            try:
                actions.record_payment(invoice, **form.received(), by=str(request.user), at=timezone.now())
            except Refusal as refusal:
                form.say(refusal)
            else:
                messages.info(request, _said(invoice, on))
                return redirect("invoice_page", pk)
    return render(request, "billing/payments/record.html", context, status=422 if context["form"].is_bound else 200)


@door(reads=NOBODY, writes=OWNER)
@require_POST
def undo_payment(request: HttpRequest, pk: int) -> HttpResponse:
    payment = get_object_or_404(Payment, pk=pk)
    actions.undo_payment(payment, by=str(request.user), at=timezone.now())
    messages.info(request, "The payment is undone by a second row. Both are kept.")
    paid = licences_of_job(payment.invoice, LicenceState.PAID)
    stay = list(paid.order_by("number").values_list("number", flat=True))
    if stay:
        messages.warning(
            request,
            f"{', '.join(stay)} began with it and stays paid: revoke it on its page if the money does not come.",
        )
    return redirect("invoice_page", payment.invoice_id)


@door(reads=NOBODY, writes=OWNER)
@require_POST
@once
def remind_of_invoice(request: HttpRequest, pk: int) -> HttpResponse:
    reminder = actions.remind_of_invoice(get_object_or_404(Invoice, pk=pk), at=timezone.now())
    messages.info(request, f"Reminder {reminder.step} is written and on its way.")
    return redirect("invoice_page", pk)


def _found(pk: int) -> Invoice:
    rows = Invoice.objects.exclude(kind=Invoice.Kind.CREDIT_NOTE).select_related("client", "estimate", "licence")
    return get_object_or_404(queries.with_payments(rows), pk=pk)


def _context(invoice: Invoice, on: date) -> dict[str, Any]:
    settlement = queries.settlement_of(invoice, on)
    return {
        "invoice": invoice,
        "settlement": settlement,
        "payments": invoice.payments.all(),
        "reminders": invoice.reminders.all(),
        "next_step": len(invoice.reminders.all()) + 1,
        "due_step": queries.next_reminder(invoice, settlement, on),
        "licences": licences_waiting_for(invoice),
        "form": PaymentForm(initial={"amount": settlement.left or settlement.credit, "received_on": on}),
        "today": on,
    }


def _said(invoice: Invoice, on: date) -> str:
    """What the person is told: what is left, or too much."""
    after = queries.settlement_of(_found(invoice.pk), on)
    if after.left:
        return f"The payment is recorded. {money(after.left, invoice.currency, 'en')} is still open."
    if after.credit:
        return f"The payment is recorded. {money(after.credit, invoice.currency, 'en')} more than owed was paid: pay it back, or set it against the next invoice."
    return f"The payment is recorded. Invoice {invoice.number} is paid in full."
