from typing import Any

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import FileResponse, Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from billing.estimates.models import Estimate
from billing.invoices import actions, queries
from billing.invoices.forms import CreditForm, InvoiceFilter, SendForm
from billing.invoices.models import Invoice
from billing.invoices.snapshot import invoice_from_json
from clients.models import Client
from shared.access.doors import BOOKS, NOBODY, OWNER, door
from shared.access.once import once
from shared.business.queries import today
from shared.evidence.queries import evidence_about
from shared.outbox.queries import messages_about

MOST_IN_PANEL = 6
A_PAGE = 40


@door(reads=BOOKS)
def invoices(request: HttpRequest) -> HttpResponse:
    on, form = today(timezone.now()), InvoiceFilter(request.GET)
    found = queries.invoices_listed(on=on, **(form.cleaned_data if form.is_valid() else {}))
    page = Paginator(found.values_list("pk", flat=True), A_PAGE).get_page(request.GET.get("page"))
    owed = queries.owed_rows()
    context = {
        "form": form,
        "page": page,
        "rows": [(row, queries.standing_of(row, on)) for row in queries.papers_of_page(page)],
        "owed": queries.total_left(owed),
        "late": queries.total_left(row for row in owed if row.due_on < on),
        "is_filtered": bool(request.GET),
        "today": on,
    }
    return render(request, "billing/invoices/invoices.html", context)


@door(reads=BOOKS)
def client_invoices_panel(request: HttpRequest, pk: int) -> HttpResponse:
    client, on = get_object_or_404(Client, pk=pk), today(timezone.now())
    found = list(queries.invoices_of_client(client))
    rows = [(row, queries.standing_of(row, on)) for row in found]
    context = {
        "client": client,
        "rows": rows[:MOST_IN_PANEL],
        "count": len(rows),
        "owed": queries.total_left(row for row, standing in rows if standing.is_owed),
    }
    return render(request, "billing/invoices/client_invoices_panel.html", context)


@door(reads=BOOKS)
def invoice_page(request: HttpRequest, pk: int) -> HttpResponse:
    return _page(request, pk)


@door(reads=BOOKS)
def invoice_paper(request: HttpRequest, pk: int) -> FileResponse:
    invoice = get_object_or_404(Invoice.objects.select_related("paper"), pk=pk)
    if invoice.paper is None:
        raise Http404
    return FileResponse(
        invoice.paper.path.open("rb"), content_type=invoice.paper.media_type, filename=invoice.paper.name
    )


@door(reads=NOBODY, writes=OWNER)
@require_POST
@once
def send_invoice(request: HttpRequest, pk: int) -> HttpResponse:
    invoice, form = get_object_or_404(Invoice.objects.select_related("client", "paper"), pk=pk), SendForm(request.POST)
    if not form.is_valid():
        return _page(request, pk, send_form=form)
    message = actions.send_invoice(invoice, to=form.cleaned_data["to"], at=timezone.now())
    messages.info(request, f"The e-mail to {message.to}: {message.get_state_display().lower()}.")
    return redirect("invoice_page", pk)


@door(reads=NOBODY, writes=OWNER)
@require_POST
@once
def cancel_by_credit_note(request: HttpRequest, pk: int) -> HttpResponse:
    invoice, form = get_object_or_404(Invoice, pk=pk), CreditForm(request.POST)
    if not form.is_valid():
        return _page(request, pk, credit_form=form)
    note = actions.cancel_by_credit_note(
        invoice, reason=form.cleaned_data["reason"], at=timezone.now(), by=str(request.user)
    )
    messages.info(
        request, f"Invoice {invoice.number} is cancelled by credit note {note.number}. Send it to the client."
    )
    return redirect("invoice_page", note.pk)


@door(reads=NOBODY, writes=OWNER)
@require_POST
@once
def bill_deposit(request: HttpRequest, estimate_pk: int) -> HttpResponse:
    estimate = get_object_or_404(
        Estimate.objects.select_related("shoot__billing_party", "accepted_option"), pk=estimate_pk, state="accepted"
    )
    invoice = actions.bill_deposit(estimate, at=timezone.now(), by=str(request.user))
    messages.info(request, f"Deposit invoice {invoice.number} is made.")
    return redirect("invoice_page", invoice.pk)


def _page(request: HttpRequest, pk: int, *, send_form: Any = None, credit_form: Any = None) -> HttpResponse:
    invoice, on = get_object_or_404(queries.invoice_in_full(pk)), today(timezone.now())
    shown = invoice_from_json(invoice.snapshot)
    context = {
        "invoice": invoice,
        "shown": shown,
        "standing": queries.standing_of(invoice, on),
        "send_form": send_form or SendForm(initial={"to": queries.address_for_invoices(invoice.client)}),
        "credit_form": credit_form or CreditForm(),
        "mails": messages_about(f"invoice:{pk}"),
        "evidence": evidence_about(f"invoice:{pk}"),
        "today": on,
        "can_rebill_deposit": invoice.kind == "deposit" and queries.may_bill_deposit_again(invoice),
    }
    status = 422 if send_form or credit_form else 200
    return render(request, "billing/invoices/invoice_page.html", context, status=status)
