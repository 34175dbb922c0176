from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any

from django.db import IntegrityError, transaction
from django.utils import translation

from billing.estimates.models import CancellationFee, Estimate, EstimateLine, EstimateState
from billing.expenses.models import Expense, Journey
from billing.invoices.draft import InvoiceDraft, deposit_lines
from billing.invoices.models import Invoice, InvoiceLine
from billing.invoices.papers import invoice_pdf
from billing.invoices.queries import (
    accepted_of,
    address_for_invoices,
    estimate_name,
    invoice_shown,
    invoices_standing,
    licences_waiting_for,
    missing_for,
    papers_of_estimates,
)
from billing.invoices.snapshot import InvoiceShown, invoice_from_json
from billing.sums.tax import Reason
from billing.sums.totals import Category, InvalidTotals
from clients.models import Client
from shared.business.checks import make_reference
from shared.business.models import BusinessProfile
from shared.business.particulars import Missing
from shared.business.queries import current_business, today
from shared.errors import Refusal
from shared.evidence.actions import conceal, record_evidence
from shared.files.actions import keep_file
from shared.numbers.actions import take_number
from shared.outbox.actions import queue_mail
from shared.outbox.models import Message
from shared.outbox.registry import on_fact
from shared.papers.kept import as_json, digest_of
from shared.papers.printing import kept_picture_uri
from shared.words import formats
from shoots.brief.actions import lock_shoots
from shoots.brief.models import ShootState
from shoots.life.actions import clear_lapse

COST, JOURNEY, CANCELLATION = "expense", "journey", "cancellation"


class JobAlreadyBilled(Refusal):
    """An invoice for this job stands: whoever was first has made it."""

    def __init__(self, number: str) -> None:
        self.number = number
        super().__init__(
            f"This job is billed already, by invoice {number}." if number else "This job has just been billed.",
            "No number was used and nothing was billed twice.",
            "Open that invoice. To bill the job again, cancel it by credit note first.",
        )


class NumberTaken(Refusal):
    """Another paper bears the number already."""

    def __init__(self, number: str) -> None:
        self.number = number
        super().__init__(
            f"Another paper bears the number {number} already.",
            "No number was used and no paper was made.",
            "Give invoices and credit notes different beginnings in the business profile, then make it again.",
        )


class NoDepositDue(Refusal):
    """The estimate is not agreed any more, or its shoot was cancelled."""

    def __init__(self, why: str) -> None:
        super().__init__(
            why,
            "No number was used and no deposit was asked for.",
            "What the job costs by its terms is billed at month-end.",
        )


class CostAlreadyBilled(Refusal):
    """A receipt or journey of this job is on another invoice."""

    def __init__(self) -> None:
        super().__init__(
            "A cost of this job was billed on another invoice in the meantime.",
            "No number was used.",
            "Open the dry run again: it leaves out what is billed.",
        )


class ParticularsMissing(Refusal):
    """The paper would lack something the law asks of an invoice."""

    def __init__(self, missing: tuple[Missing, ...]) -> None:
        self.missing = missing
        super().__init__(
            "The invoice was not made. " + " ".join(each.sentence for each in missing),
            "No number was used.",
            "Fill in what is missing, then make it again.",
        )


class MixedTax(Refusal):
    """Lines that may not share a paper."""

    def __init__(self, why: str) -> None:
        super().__init__(f"The invoice was not made. {why}", "No number was used.", "Bill the lines on two papers.")


class NotCancellable(Refusal):
    """A credit note, a cancelled invoice, or a deposit that a standing invoice deducts."""


class NoAddress(Refusal):
    """There is no e-mail address to send the paper to."""

    def __init__(self, client: Client) -> None:
        self.client = client
        super().__init__(
            f"{client} has no e-mail address for invoices.",
            "Nothing was sent. The invoice is kept.",
            "Enter the address and send again.",
        )


@transaction.atomic
def issue_invoice(draft: InvoiceDraft, *, at: datetime, by: str = "") -> Invoice:
    """Number, freeze, print and keep an invoice, all or nothing: the number is taken in the same transaction, so no gap is left.

    Raises JobAlreadyBilled, CostAlreadyBilled, ParticularsMissing, MixedTax, or what keeping a file raises.
    """
    business = current_business(draft.issued_on)
    client = Client.objects.get(pk=draft.client)
    missing = missing_for(draft, business, client)
    if missing:
        raise ParticularsMissing(missing)
    # The counter's row stays locked until the end: from here on, nobody else issues a paper of this series.
    number = take_number("invoice", on=draft.issued_on)
    standing = Invoice.objects.filter(job_key=draft.job_key, is_cancelled=False).first()
    if standing is not None:
        raise JobAlreadyBilled(standing.number)
    try:
        shown = invoice_shown(draft, business, client, number=number, reference=make_reference(number))
    except InvalidTotals as wrong:
        raise MixedTax(str(wrong)) from wrong
    invoice = _write(shown, business, draft=draft, at=at)
    _write_lines(invoice, draft)
    _take_costs(draft, number)
    if draft.job_key.startswith(CANCELLATION):
        CancellationFee.objects.filter(pk=draft.job_key.partition(":")[2]).update(billed_at=at)
    _record_issue(invoice, at=at, by=by)
    return invoice


@transaction.atomic
def send_invoice(invoice: Invoice, *, at: datetime, to: str = "") -> Message:
    """Send a paper by e-mail in the client's language, with its PDF as it was issued. Sending again is allowed. Raises NoAddress."""
    to = to or address_for_invoices(invoice.client)
    if not to:
        raise NoAddress(invoice.client)
    shown = invoice_from_json(invoice.snapshot)
    template = {
        Invoice.Kind.INVOICE: "invoice_sent",
        Invoice.Kind.DEPOSIT: "deposit_sent",
        Invoice.Kind.CREDIT_NOTE: "credit_note_sent",
    }[Invoice.Kind(invoice.kind)]
    message = queue_mail(
        to=to,
        template=template,
        language=invoice.language,
        context={"invoice": invoice, "shown": shown, "name": shown.to[0]},
        attachments=[invoice.paper] if invoice.paper else [],
        at=at,
        about=f"invoice:{invoice.pk}",
    )
    Invoice.objects.filter(pk=invoice.pk, sent_at=None).update(sent_at=at)
    invoice.refresh_from_db()
    record_evidence(
        "sent", subject=f"invoice:{invoice.pk}", payload={"number": invoice.number, "to": conceal(to)}, at=at
    )
    return message


@transaction.atomic
def cancel_by_credit_note(invoice: Invoice, *, reason: str, at: datetime, by: str = "") -> Invoice:
    """Take an invoice back by a credit note with its own number, the same lines and positive amounts; its job may be billed again.

    Raises NotCancellable for a credit note, a cancelled invoice, or a deposit deducted by an invoice that stands.
    """
    lock_shoots(invoice.shoot_id)
    invoice = Invoice.objects.select_for_update().get(pk=invoice.pk)
    _must_be_cancellable(invoice)
    on = today(at)
    business = current_business(on)
    shown = replace(
        invoice_from_json(invoice.snapshot),
        kind=Invoice.Kind.CREDIT_NOTE,
        number=take_number("credit_note", on=on),
        issued_on=on,
        due_on=on,
        reference="",
        corrects=invoice.number,
        corrects_on=invoice.issued_on,
        reason=reason,
        licence_sentences=(),
        lapses_after=None,
    )
    if not Invoice.objects.filter(pk=invoice.pk, is_cancelled=False).update(is_cancelled=True):
        raise NotCancellable(f"Invoice {invoice.number} is cancelled already.", "It has one credit note.", "")
    note = _write(shown, business, corrects=invoice, at=at)
    InvoiceLine.objects.bulk_create(_copy(line, note) for line in invoice.lines.all())
    for costs in (Expense, Journey):
        costs.objects.filter(billed_on=invoice.number).update(billed_on="")
    if invoice.job_key.startswith(CANCELLATION):
        CancellationFee.objects.filter(pk=invoice.job_key.partition(":")[2]).update(billed_at=None)
    if invoice.kind == Invoice.Kind.INVOICE:
        for licence in licences_waiting_for(invoice):
            clear_lapse(licence, at=at)
    record_evidence(
        "cancelled",
        subject=f"invoice:{invoice.pk}",
        payload={"number": invoice.number, "credit_note": note.number, "reason": conceal(reason), "by": by},
        at=at,
    )
    _record_issue(note, at=at, by=by)
    return note


@transaction.atomic
def bill_deposit(estimate: Estimate, *, at: datetime, by: str = "") -> Invoice:
    """The deposit invoice of an accepted estimate, sent where there is an address.

    A newer version of the same estimate asks for no second deposit. Raises NoDepositDue for a shoot cancelled or an estimate
    replaced, JobAlreadyBilled once the job itself is billed, and what ``issue_invoice`` raises.
    """
    lock_shoots(estimate.shoot_id)
    _must_ask_for_a_deposit(estimate)
    accepted, shoot, on = accepted_of(estimate), estimate.shoot, today(at)
    client = shoot.billing_party
    with translation.override(estimate.language):
        percent = formats.percent(accepted.deposit_percent, estimate.language)
        what = translation.gettext("Deposit of %(percent)s") % {"percent": percent}
        working = translation.gettext("On estimate %(number)s, %(sum)s with VAT") % {
            "number": estimate.number,
            "sum": formats.money(accepted.sums.gross, accepted.currency, estimate.language),
        }
    lines = deposit_lines(
        what,
        working,
        accepted.sums.net,
        accepted.sums.untaxed,
        accepted.deposit_percent,
        Category(accepted.tax_category),
        accepted.tax_percent,
    )
    draft = InvoiceDraft(
        job_key=f"deposit:{estimate.number}",
        kind=Invoice.Kind.DEPOSIT,
        title=shoot.title,
        language=estimate.language,
        currency=estimate.currency,
        client=client.pk,
        shoot=shoot.pk,
        estimate=estimate.pk,
        estimate_name=estimate_name(estimate),
        lines=lines,
        issued_on=on,
        due_on=on + timedelta(days=accepted.deposit_days),
        supplied_on=shoot.first_on,
        supplied_last_on=shoot.last_on,
        tax_reason=Reason(accepted.tax_reason),
        order_number=accepted.order_number or shoot.order_number,
    )
    invoice = issue_invoice(draft, at=at, by=by)
    to = address_for_invoices(client) or estimate.sent_to
    if to:
        send_invoice(invoice, at=at, to=to)
    return invoice


@on_fact("estimate_accepted")
def bill_accepted_deposit(*, estimate: int, at: datetime, **_facts: Any) -> None:
    """An estimate was accepted: its deposit is billed. Where something is missing, a person finds it under *Deposits to bill*."""
    row = Estimate.objects.select_related("shoot__billing_party").get(pk=estimate)
    if row.state != EstimateState.ACCEPTED or not accepted_of(row).deposit_percent:
        return
    if papers_of_estimates().filter(estimate__number=row.number).exists():
        return
    try:
        bill_deposit(row, at=at)
    except Refusal:
        return


def _must_ask_for_a_deposit(estimate: Estimate) -> None:
    now = Estimate.objects.select_related("shoot").get(pk=estimate.pk)
    if now.shoot.state == ShootState.CANCELLED:
        raise NoDepositDue(f"{now.shoot} was cancelled.")
    if now.state != EstimateState.ACCEPTED:
        raise NoDepositDue(f"{now} is {now.get_state_display().lower()}.")
    billed = invoices_standing([f"estimate:{now.number}"]).first()
    if billed is not None:
        raise JobAlreadyBilled(billed.number)


def _must_be_cancellable(invoice: Invoice) -> None:
    if invoice.kind == Invoice.Kind.CREDIT_NOTE:
        raise NotCancellable(
            "A credit note is not cancelled.", "Nothing was changed.", "Bill the job again if the invoice was right."
        )
    if invoice.is_cancelled:
        raise NotCancellable(
            f"Invoice {invoice.number} is cancelled already.", "It has one credit note.", "Open the credit note."
        )
    if invoice.kind == Invoice.Kind.DEPOSIT:
        deducting = _deducting(invoice)
        if deducting:
            raise NotCancellable(
                f"Invoice {deducting} deducts this deposit.",
                "Nothing was changed.",
                f"Cancel invoice {deducting} by credit note first.",
            )


def _deducting(deposit: Invoice) -> str:
    """The number of a standing invoice that deducts this deposit, or nothing."""
    finals = Invoice.objects.filter(kind=Invoice.Kind.INVOICE, is_cancelled=False, shoot=deposit.shoot_id)
    return next(
        (
            final.number
            for final in finals
            if any(each["number"] == deposit.number for each in final.snapshot.get("deposits", ()))
        ),
        "",
    )


def _write(
    shown: InvoiceShown,
    business: BusinessProfile,
    *,
    at: datetime,
    draft: InvoiceDraft | None = None,
    corrects: Invoice | None = None,
) -> Invoice:
    """The row with its paper: printed from the snapshot, its bytes kept before the row exists."""
    data = invoice_pdf(shown, logo=kept_picture_uri(business.logo))
    paper = keep_file(
        data, name=f"{shown.kind.replace('_', '-')}-{shown.number.replace('/', '-')}.pdf", kind="invoice", at=at
    )
    source: Any = draft or corrects
    job_key = draft.job_key if draft else f"credit:{shown.corrects}"
    keys = ("client", "shoot", "estimate", "licence")
    rows = {f"{key}_id": getattr(source, key if draft else f"{key}_id") for key in keys}
    try:
        with transaction.atomic():
            return Invoice.objects.create(
                number=shown.number,
                kind=shown.kind,
                job_key=job_key,
                corrects=corrects,
                issued_on=shown.issued_on,
                due_on=shown.due_on,
                language=shown.language,
                currency=shown.currency,
                net=shown.net,
                tax=shown.tax,
                gross=shown.gross,
                prepaid=shown.prepaid,
                to_pay=shown.to_pay,
                reference=shown.reference,
                order_number=shown.order_number,
                snapshot=as_json(shown),
                paper=paper,
                issued_at=at,
                **rows,
            )
    except IntegrityError as twice:
        if Invoice.objects.filter(number=shown.number).exists():
            raise NumberTaken(shown.number) from twice
        standing = invoices_standing([job_key]).first()
        if standing is None:
            raise
        raise JobAlreadyBilled(standing.number) from twice


def _write_lines(invoice: Invoice, draft: InvoiceDraft) -> None:
    wanted = {int(line.line_key) for line in draft.lines if line.line_key.isdecimal()}
    known = set(EstimateLine.objects.filter(pk__in=wanted).values_list("pk", flat=True))
    InvoiceLine.objects.bulk_create(
        InvoiceLine(
            invoice=invoice,
            order=order,
            what=line.what[:160],
            working=line.working,
            quantity=line.quantity,
            unit=line.unit,
            unit_price=line.unit_price,
            net=line.net,
            tax_category=line.category,
            tax_percent=line.rate,
            estimate_line_id=int(line.line_key) if line.line_key.isdecimal() and int(line.line_key) in known else None,
            expense_id=_only(line.cost_keys, COST),
            journey_id=_only(line.cost_keys, JOURNEY),
        )
        for order, line in enumerate(draft.lines)
    )


def _only(keys: tuple[str, ...], noun: str) -> int | None:
    """The row behind a line of one single cost."""
    if len(keys) == 1 and keys[0].startswith(f"{noun}:"):
        return int(keys[0].partition(":")[2])
    return None


def _copy(line: InvoiceLine, note: Invoice) -> InvoiceLine:
    names = [field.attname for field in InvoiceLine._meta.fields if field.attname not in {"id", "invoice_id"}]
    return InvoiceLine(invoice=note, **{name: getattr(line, name) for name in names})


def _take_costs(draft: InvoiceDraft, number: str) -> None:
    """Marks the costs as billed; a cost that somebody else has billed meanwhile stops the invoice."""
    for noun, model in ((COST, Expense), (JOURNEY, Journey)):
        keys = [int(key.partition(":")[2]) for key in draft.cost_keys if key.startswith(f"{noun}:")]
        taken = model.objects.filter(pk__in=keys, billed_on="").update(billed_on=number)
        if taken != len(keys):
            raise CostAlreadyBilled


def _record_issue(invoice: Invoice, *, at: datetime, by: str) -> None:
    payload = {
        "number": invoice.number,
        "kind": invoice.kind,
        "paper": invoice.paper.sha256 if invoice.paper else "",
        "snapshot": digest_of(invoice.snapshot),
        "to_pay": str(invoice.to_pay),
        "currency": invoice.currency,
        "by": by,
    }
    record_evidence("issued", subject=f"invoice:{invoice.pk}", payload=payload, at=at)
