from collections.abc import Iterable
from datetime import date
from decimal import Decimal
from typing import Any, NamedTuple

from django.conf import settings
from django.db.models import Case, DecimalField, F, Max, Q, QuerySet, Sum, Value, When
from django.db.models.functions import Coalesce
from django.utils import translation

from billing.estimates.models import Estimate, EstimateState
from billing.estimates.queries import tax_reason_in_words
from billing.estimates.snapshot import AcceptedShown, accepted_from_json
from billing.invoices.draft import InvoiceDraft, reasons, reckon
from billing.invoices.models import Invoice
from billing.invoices.snapshot import BilledLine, DepositShown, InvoiceShown, TaxShown
from billing.invoices.standing import CRUMB, Standing, standing
from billing.sums.totals import TaxGroup, after_deposits
from clients.models import Client
from shared.business.models import BusinessProfile
from shared.business.particulars import InvoiceBuyer, InvoiceCase, Missing, missing_particulars
from shared.business.queries import seller_of
from shared.money import ZERO, round_money
from shared.related import in_order, reckoned
from shared.words import formats
from shoots.brief.models import ShootState
from shoots.licences.models import Licence, LicenceState

MONEY: Any = DecimalField(max_digits=12, decimal_places=2)
NOTHING = Value(ZERO, output_field=MONEY)
CREDIT_NOTE = Invoice.Kind.CREDIT_NOTE
NOT_BY_PAYMENT = "cancellation:"
BESIDE_A_ROW = ("client", "shoot", "corrects")
OF_A_ROW = ("number", "kind", "is_cancelled", "currency", "due_on", "to_pay", "sent_at", "snapshot")
NOT_SENT = Q(sent_at=None, is_cancelled=False)


def with_paid(rows: QuerySet[Invoice]) -> QuerySet[Invoice]:
    """Papers with what was ``paid`` on them and what is ``left``, in one query."""
    paid = Coalesce(reckoned(Invoice.payments, Sum("amount")), NOTHING, output_field=MONEY)
    owed = Case(When(Q(is_cancelled=True) | Q(kind=CREDIT_NOTE), then=NOTHING), default=F("to_pay"), output_field=MONEY)
    return rows.annotate(paid=paid, left=owed - paid)


def invoices_listed(*, on: date, state: str = "", text: str = "") -> QuerySet[Invoice]:
    """Papers in a state whose number, client, job or order number holds ``text``, the newest first."""
    found = with_paid(Invoice.objects.select_related(*BESIDE_A_ROW))
    owed = Q(left__gt=CRUMB) & ~Q(kind=CREDIT_NOTE)
    known = {
        "owed": owed,
        "late": owed & Q(due_on__lt=on),
        "part_paid": owed & Q(paid__gt=CRUMB),
        "paid": Q(left__lte=CRUMB, is_cancelled=False) & ~Q(kind=CREDIT_NOTE),
        "not_sent": NOT_SENT,
        "cancelled": Q(is_cancelled=True),
        "credit_notes": Q(kind=CREDIT_NOTE),
    }
    if state in known:
        found = found.filter(known[state])
    for word in text.split():
        found = found.filter(
            Q(number__icontains=word)
            | Q(client__name__icontains=word)
            | Q(shoot__title__icontains=word)
            | Q(order_number__icontains=word)
            | Q(reference__icontains=word)
        )
    return found.order_by("-issued_on", "-number")


def papers_of_page(keys: Iterable[int]) -> list[Invoice]:
    """The papers of one page of ``invoices_listed``, by the keys it gives."""
    return in_order(with_paid(Invoice.objects.select_related(*BESIDE_A_ROW)), keys)


def invoice_in_full(pk: int) -> QuerySet[Invoice]:
    """One paper with its client, job, lines and credit notes."""
    return with_paid(
        Invoice.objects.filter(pk=pk).select_related("client", "shoot", "estimate", "licence", "corrects", "paper")
    ).prefetch_related("lines", "credit_notes")


def standing_of(invoice: Invoice, on: date) -> Standing:
    """How a paper of ``with_paid`` stands on a day."""
    return standing(
        kind=invoice.kind,
        to_pay=invoice.to_pay,
        paid=invoice.paid,
        due_on=invoice.due_on,
        on=on,
        is_cancelled=invoice.is_cancelled,
        is_sent=invoice.sent_at is not None,
    )


def invoices_owed() -> QuerySet[Invoice]:
    """Papers on which something is still owed, the one due longest ago first."""
    return (
        with_paid(Invoice.objects.all()).filter(left__gt=CRUMB).exclude(kind=CREDIT_NOTE).order_by("due_on", "number")
    )


class OwedRow(NamedTuple):
    """A paper on which something is owed, as plain values: years of books hold many, and sums need no more of them."""

    pk: int
    kind: str
    currency: str
    to_pay: Decimal
    left: Decimal
    due_on: date
    shoot_state: str | None


def owed_rows() -> list[OwedRow]:
    """All of ``invoices_owed`` as plain rows, in the same order."""
    rows = invoices_owed().values_list("pk", "kind", "currency", "to_pay", "left", "due_on", "shoot__state")
    return [OwedRow(*row) for row in rows]


def papers_named(keys: Iterable[int]) -> list[Invoice]:
    """The papers with these keys, in their order, with what a row shows."""
    return in_order(with_paid(Invoice.objects.select_related("client")).only(*OF_A_ROW, "client__name"), keys)


def invoices_not_sent() -> QuerySet[Invoice]:
    """Papers that stand and have not gone out: those that ``invoices_listed`` lists under the same name."""
    return Invoice.objects.filter(NOT_SENT)


def invoices_standing(job_keys: Iterable[str]) -> QuerySet[Invoice]:
    """The papers by which these jobs are billed."""
    return Invoice.objects.filter(job_key__in=list(job_keys), is_cancelled=False)


def invoices_of_shoot(shoot: int) -> QuerySet[Invoice]:
    """All papers of a shoot, the newest first."""
    return with_paid(Invoice.objects.filter(shoot=shoot).select_related("client")).order_by("-issued_on", "-number")


def invoices_of_client(client: Client) -> QuerySet[Invoice]:
    """All papers of a client, the newest first."""
    return with_paid(Invoice.objects.filter(client=client)).order_by("-issued_on", "-number")


def deposits_of(numbers: Iterable[str]) -> QuerySet[Invoice]:
    """Deposit invoices that stand, of the estimates with these numbers, with what was paid and when last."""
    return with_paid(
        Invoice.objects.filter(
            kind=Invoice.Kind.DEPOSIT, is_cancelled=False, job_key__in=[f"deposit:{n}" for n in numbers]
        )
    ).annotate(last_paid_on=reckoned(Invoice.payments, Max("received_on")))


def papers_of_estimates() -> QuerySet[Invoice]:
    """Deposit invoices and invoices of agreed estimates, also cancelled ones; the fee for a shoot called off or put off is none of them."""
    papers = Invoice.objects.exclude(kind=CREDIT_NOTE).exclude(estimate=None)
    return papers.exclude(job_key__startswith=NOT_BY_PAYMENT)


def licences_of_job(invoice: Invoice, state: LicenceState) -> QuerySet[Licence]:
    """The licences that this invoice's job pays for, in one state; a fee for a shoot called off or put off pays for none."""
    found = Licence.objects.filter(state=state)
    if invoice.licence_id:
        return found.filter(pk=invoice.licence_id)
    if invoice.estimate_id is None or invoice.job_key.startswith(NOT_BY_PAYMENT):
        return found.none()
    estimates = Estimate.objects.filter(number=invoice.estimate.number).values_list("pk", flat=True)
    return found.filter(origin__in=[f"estimate:{pk}" for pk in estimates])


def licences_waiting_for(invoice: Invoice) -> QuerySet[Licence]:
    """Agreed licences that start, or stand, once the job of this invoice is paid in full."""
    return licences_of_job(invoice, LicenceState.ACCEPTED)


def deposits_to_bill() -> QuerySet[Estimate]:
    """Accepted estimates that ask for a deposit and have no deposit invoice and no invoice yet."""
    billed = papers_of_estimates().values("estimate__number")
    return (
        Estimate.objects.filter(state=EstimateState.ACCEPTED, deposit_percent__gt=0)
        .exclude(number__in=billed)
        .exclude(shoot__state="cancelled")
        .select_related("shoot__client")
        .order_by("decided_at")
        .only("number", "issue", "deposit_percent", "shoot__title", "shoot__client__name")
    )


def address_for_invoices(client: Client) -> str:
    """Where this client's invoices go: the address they gave for them, else whoever pays there."""
    if client.invoice_email:
        return client.invoice_email
    part = client.parts.select_related("person").exclude(person__email="").order_by("-pays", "-orders", "pk").first()
    return part.person.email if part else ""


def accepted_of(estimate: Estimate) -> AcceptedShown:
    """What the client took, as frozen."""
    return accepted_from_json(estimate.accepted_snapshot)


def estimate_name(estimate: Estimate) -> str:
    """The estimate as an invoice names it: E-2026-047, option B."""
    letter = estimate.accepted_option.letter if estimate.accepted_option else ""
    with translation.override(estimate.language):
        return (
            translation.gettext("%(number)s, option %(letter)s") % {"number": estimate.number, "letter": letter}
            if letter and len(estimate.snapshot.get("options", ())) > 1
            else estimate.number
        )


def missing_for(draft: InvoiceDraft, business: BusinessProfile, client: Client) -> tuple[Missing, ...]:
    """What a legal invoice lacks, in plain sentences: Directive 2006/112/EC, Article 226."""
    return missing_for_case(
        client,
        business,
        language=draft.language,
        case=InvoiceCase(
            categories=frozenset(str(line.category) for line in draft.lines),
            has_lines=bool(draft.lines),
            has_supply_day=draft.supplied_on is not None or draft.kind == Invoice.Kind.DEPOSIT,
            reason_text=" ".join(_reasons(draft, business)),
        ),
        order_number=draft.order_number,
        needs_order_number=client.is_order_number_required,
    )


def missing_for_case(
    client: Client,
    business: BusinessProfile,
    *,
    language: str,
    case: InvoiceCase,
    order_number: str = "",
    needs_order_number: bool = False,
) -> tuple[Missing, ...]:
    """The same before there is a draft."""
    buyer = InvoiceBuyer(
        name=client.legal_name or client.name,
        street=client.street,
        postcode=client.postcode,
        city=client.city,
        country=client.country,
        vat_number=client.vat_number,
        order_number=order_number,
        needs_order_number=needs_order_number,
    )
    return missing_particulars(seller_of(business, language), buyer, case)


def invoice_shown(
    draft: InvoiceDraft, business: BusinessProfile, client: Client, *, number: str = "", reference: str = ""
) -> InvoiceShown:
    """The whole paper as it will be printed. Raises InvalidTotals for lines that may not share a paper."""
    totals = reckon(draft)
    deposit_groups = [group for deposit in draft.deposits for group in deposit.groups]
    adjustment = draft.discount.adjustment if draft.discount else None
    return InvoiceShown(
        kind=draft.kind,
        number=number,
        language=draft.language,
        currency=draft.currency,
        title=draft.title,
        issued_on=draft.issued_on,
        due_on=draft.due_on,
        supplied_on=draft.supplied_on,
        supplied_last_on=draft.supplied_last_on,
        sender_name=business.legal_name,
        sender_strapline=business.what_we_do,
        sender_address=_address(business, draft.language, client.country),
        sender_vat_number=business.vat_number,
        sender_tax_number=business.tax_number,
        sender_email=business.email,
        to=client.in_the_window(draft.language, home=business.country),
        client_vat_number=client.vat_number,
        order_number=draft.order_number,
        estimate_name=draft.estimate_name,
        lines=tuple(
            BilledLine(
                what=line.what,
                working=line.working,
                quantity=line.quantity,
                unit=line.unit,
                unit_price=line.unit_price,
                net=line.net,
                category=str(line.category),
                rate=line.rate,
            )
            for line in draft.lines
        ),
        lines_net=totals.line_total,
        discount=totals.allowance_total,
        discount_percent=adjustment.percent if adjustment else None,
        discount_reason=adjustment.reason if adjustment else "",
        net=totals.net,
        groups=tuple(_group(group) for group in totals.groups),
        tax=totals.tax,
        gross=totals.gross,
        deposits=tuple(
            DepositShown(
                number=each.number,
                issued_on=each.issued_on,
                paid_on=each.paid_on,
                groups=tuple(_group(group) for group in each.groups),
            )
            for each in draft.deposits
        ),
        prepaid=totals.prepaid,
        left=tuple(
            TaxShown(category=str(rest.category), rate=rest.rate, base=rest.base, tax=rest.tax)
            for rest in after_deposits(totals.groups, deposit_groups)
        ),
        to_pay=totals.due,
        tax_reasons=_reasons(draft, business),
        account_name=business.account_name or business.legal_name,
        iban=business.iban,
        bic=business.bic,
        reference=reference,
        licence_sentences=draft.licence_sentences,
        lapses_after=draft.lapses_after,
        corrects="",
        corrects_on=None,
        reason="",
        is_demo=settings.BOOKS == "demo",
    )


def _reasons(draft: InvoiceDraft, business: BusinessProfile) -> tuple[str, ...]:
    said = (tax_reason_in_words(reason, business, draft.language) for reason in reasons(draft))
    return tuple(sentence for sentence in said if sentence)


def _group(group: TaxGroup) -> TaxShown:
    return TaxShown(category=str(group.category), rate=group.rate, base=group.base, tax=group.tax)


def _address(business: BusinessProfile, language: str, client_country: str) -> tuple[str, ...]:
    abroad = [formats.country(business.country, language)] if client_country != business.country else []
    return (*business.address_lines, *abroad)


def total_left(rows: Iterable[Invoice | OwedRow]) -> dict[str, Decimal]:
    """What is left to pay on these papers, per currency."""
    sums: dict[str, Decimal] = {}
    for row in rows:
        sums[row.currency] = sums.get(row.currency, ZERO) + round_money(row.left)  # type: ignore[union-attr]
    return sums


def may_bill_deposit_again(deposit: Invoice) -> bool:
    """Whether a cancelled deposit may be asked for once more: its estimate stands and nothing bills the job."""
    if not deposit.is_cancelled or deposit.estimate is None or deposit.estimate.state != EstimateState.ACCEPTED:
        return False
    if deposit.estimate.shoot.state == ShootState.CANCELLED:
        return False
    number = deposit.estimate.number
    return not invoices_standing([f"deposit:{number}", f"estimate:{number}"]).exists()
