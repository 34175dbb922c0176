from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from django.db.models import CharField, Count, Exists, OuterRef, Q, QuerySet, Value
from django.db.models.functions import Cast, Concat
from django.utils import translation
from django.utils.translation import gettext, ngettext

from billing.estimates.models import CancellationFee, Estimate, EstimateState, FeeKind
from billing.estimates.queries import tax_of, tax_reason_in_words
from billing.estimates.snapshot import AcceptedShown, LineShown, accepted_from_json
from billing.estimates.terms import PriceKind
from billing.expenses.charging import ChargeKind, charge_on
from billing.expenses.models import CapRaise, Charge, Expense, Journey
from billing.invoices.draft import DeductedDeposit, DraftLine, InvoiceDraft
from billing.invoices.models import Invoice
from billing.invoices.queries import deposits_of, estimate_name, missing_for_case
from billing.invoices.snapshot import invoice_from_json
from billing.jobs.plan import (
    AgreedLine,
    Billable,
    InvoiceToCome,
    IssuedDeposit,
    Job,
    MonthPlan,
    PlannedLine,
    Question,
    RecordedCost,
    Source,
    Why,
    plan_month,
)
from billing.sums.tax import Reason, TaxCase
from billing.sums.totals import Category
from clients.models import Client
from shared.business.models import BusinessProfile
from shared.business.particulars import InvoiceCase
from shared.business.queries import all_profiles, current_business, days_of, profile_on
from shared.money import ZERO, round_money
from shared.related import number_of
from shared.words import formats
from shoots.brief.models import AgreedPicture, Shoot
from shoots.delivery.models import Delivery
from shoots.licences.models import Begins, Licence, LicenceState

SENT = (Delivery.State.SENT, Delivery.State.RECEIVED)
CANCELLATION_QUESTION = Question(
    "Whether a cancellation fee carries VAT differs by country and by what was agreed.",
    "Ask your tax adviser before you send it",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class BillableJob:
    """A job with the rows it comes from. ``what`` says in a word what is billed; ``lapse_days`` is None where nothing lapses."""

    job: Job
    what: str
    client: Client
    business: BusinessProfile
    tax_reason: Reason
    shoot: int | None = None
    estimate: Estimate | None = None
    licence: Licence | None = None
    sentences: tuple[str, ...] = ()
    lapse_days: int | None = None
    first_on: date | None = None
    last_on: date | None = None


@dataclass(frozen=True, slots=True)
class _Cost:
    """A cost with the line of whichever version it was recorded for."""

    row: RecordedCost
    currency: str
    line_pk: str
    line_kind: str
    line_what: str

    def under(self, lines: Iterable[LineShown]) -> RecordedCost:
        """The cost, put under the line of the accepted version: the same row, or one of the same kind and name."""
        key = _line_of(self.line_pk, self.line_kind, self.line_what, lines)
        return replace(self.row, line_key=key)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Beside:
    """What the jobs of all kinds take from the books beside their own rows, read once for all of them."""

    business: BusinessProfile
    clients: dict[int, Client]
    costs: dict[int, list[_Cost]]  # by shoot; whoever bills a cost takes it out
    pictures: dict[int, tuple[int, int]]  # by shoot: agreed, gone out
    numbers: dict[int, list[str]]  # by shoot called off: all its jobs are called off with it
    deposits: dict[str, tuple[IssuedDeposit, ...]]  # by number of the estimate
    raised: dict[str, list[CapRaise]]  # by number of the estimate


def jobs_to_bill(on: date, *, key: str = "", shoot: int | None = None) -> dict[str, BillableJob]:
    """Every job that no standing invoice bills, by its key, as it stands for a paper of day ``on``; or one job; or those of a shoot.

    Accepted estimates of shoots that are shot or delivered (``estimate:E-2026-047``), fees for shoots called off (``cancellation:3``),
    licences sold by themselves (``licence:8``), shoots without an estimate (``shoot:5``). A constant number of queries.
    """
    kind, _, name = key.partition(":")
    business = current_business(on)
    estimates = list(_estimates_to_bill(number=name, shoot=shoot)) if kind in {"", "estimate"} else []
    fees = list(_fees_to_bill(pk=name, shoot=shoot)) if kind in {"", "cancellation"} else []
    licences = list(_licences_to_bill(pk=name, shoot=shoot)) if kind in {"", "licence"} else []
    unagreed = list(_shoots_to_bill(on, pk=name, shoot=shoot)) if kind in {"", "shoot"} else []
    beside = _beside(business, estimates, fees, licences, unagreed)
    found = [
        *_agreed_jobs(estimates, beside),
        *_fee_jobs(fees, beside),
        *_licence_jobs(licences, beside),
        *_unagreed_jobs(unagreed, beside),
    ]
    return {each.job.key: each for each in found}


def shoot_of_job(key: str) -> int | None:
    """The shoot a job belongs to, by its key; a licence sold for pictures of several shoots has none."""
    kind, _, name = key.partition(":")
    if kind == "estimate":
        return Estimate.objects.filter(number=name).values_list("shoot", flat=True).first()
    if not name.isdecimal():
        return None
    if kind == "cancellation":
        return CancellationFee.objects.filter(pk=name).values_list("estimate__shoot", flat=True).first()
    if kind == "licence":
        return Licence.objects.filter(pk=name).values_list("shoot", flat=True).first()
    return int(name) if kind == "shoot" else None


def plan_for(jobs: Mapping[str, BillableJob], *, issued_on: date, made_on: date) -> MonthPlan:
    """The plan of these jobs."""
    return plan_month([each.job for each in jobs.values()], issued_on=issued_on, made_on=made_on)


def draft_of(billable: BillableJob, coming: InvoiceToCome) -> InvoiceDraft:
    """The invoice to come as a draft: its lines with their words in the client's language."""
    job = billable.job
    with translation.override(job.language):
        lines = tuple(_draft_line(line, billable) for line in coming.lines)
    lapses = coming.due_on + timedelta(days=billable.lapse_days) if billable.lapse_days is not None else None
    return InvoiceDraft(
        job_key=job.key,
        kind=Invoice.Kind.INVOICE,
        title=job.title,
        language=job.language,
        currency=job.currency,
        client=billable.client.pk,
        shoot=billable.shoot,
        estimate=billable.estimate.pk if billable.estimate else None,
        licence=billable.licence.pk if billable.licence else None,
        estimate_name=estimate_name(billable.estimate) if billable.estimate else "",
        lines=lines,
        discount=coming.adjustment,
        deposits=tuple(
            DeductedDeposit(number=each.number, issued_on=each.issued_on, groups=each.groups, paid_on=each.paid_on)
            for each in coming.deposits
        ),
        issued_on=coming.issued_on,
        due_on=coming.due_on,
        supplied_on=billable.first_on or coming.supplied_on,
        supplied_last_on=billable.last_on,
        tax_reason=billable.tax_reason,
        order_number=job.order_number,
        licence_sentences=billable.sentences,
        lapses_after=lapses,
    )


def _beside(
    business: BusinessProfile,
    estimates: list[Estimate],
    fees: list[CancellationFee],
    licences: list[Licence],
    unagreed: list[Shoot],
) -> _Beside:
    called_off = {fee.estimate.shoot_id for fee in fees if fee.kind == FeeKind.CANCELLED}
    numbers = _numbers_agreed(called_off)
    shoots = {row.shoot_id for row in estimates} | {row.pk for row in unagreed}
    billed = [
        *(row.shoot for row in estimates),
        *(fee.estimate.shoot for fee in fees),
        *licences,
        *unagreed,
    ]
    return _Beside(
        business=business,
        clients=Client.objects.in_bulk({row.billing_party_id for row in billed}),
        costs=_costs(shoots | called_off),
        pictures=_pictures(shoots),
        numbers=numbers,
        deposits=_deposits(
            [*(row.number for row in estimates), *(each for those in numbers.values() for each in those)]
        ),
        raised=_raised([row.number for row in estimates]),
    )


def _numbers_agreed(shoots: Iterable[int]) -> dict[int, list[str]]:
    found: dict[int, list[str]] = defaultdict(list)
    agreed = Estimate.objects.filter(shoot__in=list(shoots), state=EstimateState.ACCEPTED).order_by("pk")
    for shoot, number in agreed.values_list("shoot", "number"):
        found[shoot].append(number)
    return found


_OF_ITS_SHOOT = ("title", "first_on", "last_on", "shot_on", "delivered_on", "order_number", "billing_party")


def _of_shoot(path: str) -> list[str]:
    return [f"{path}__{name}" for name in _OF_ITS_SHOOT]


def _estimates_to_bill(*, number: str, shoot: int | None) -> QuerySet[Estimate]:
    rows = (
        Estimate.objects.filter(state=EstimateState.ACCEPTED)
        .filter(Q(shoot__shot_on__isnull=False) | Q(shoot__delivered_on__isnull=False))
        .exclude(shoot__state="cancelled")
        .exclude(_billed("estimate:", OuterRef("number")))
        .annotate(is_one_of_several=_one_of_several("shoot", "number"))
        .order_by("pk")
    )
    rows = rows.filter(number=number) if number else rows
    rows = rows.filter(shoot=shoot) if shoot else rows
    return rows.select_related("shoot", "accepted_option").only(
        *("number", "snapshot", "accepted_snapshot", "accepted_option__letter", "currency", "language"),
        *("billable_when", "promise", "tolerance_percent", "lapse_days", "begins", *_of_shoot("shoot")),
    )


def _agreed_jobs(rows: list[Estimate], beside: _Beside) -> list[BillableJob]:
    estimates = {row.number: row for row in rows}
    accepted = {number: accepted_from_json(row.accepted_snapshot) for number, row in estimates.items()}
    jobs = []
    for each, estimate in estimates.items():
        taken = accepted[each].taken
        keys = {line.key for line in taken}
        mine, others = [], []
        for cost in beside.costs.get(estimate.shoot_id, []):
            under = cost.under(taken)
            is_mine = under.line_key in keys or not cost.line_pk or not _belongs_elsewhere(cost, accepted.values())
            (mine if is_mine else others).append((cost, under))
        beside.costs[estimate.shoot_id] = [cost for cost, _ in others]
        jobs.append(_agreed_job(estimate, accepted[each], mine, beside))
    return jobs


def _belongs_elsewhere(cost: _Cost, accepted: Iterable[AcceptedShown]) -> bool:
    return any(line.key == cost.line_pk for each in accepted for line in each.taken)


def _agreed_job(
    estimate: Estimate,
    accepted: AcceptedShown,
    costs: list[tuple[_Cost, RecordedCost]],
    beside: _Beside,
) -> BillableJob:
    shoot, business = estimate.shoot, beside.business
    client = beside.clients[shoot.billing_party_id]
    pictures = beside.pictures.get(shoot.pk, (0, 0))
    deposits = beside.deposits.get(estimate.number, ())
    caps: dict[str, list[Decimal]] = defaultdict(list)
    for each in beside.raised.get(estimate.number, ()):
        caps[_line_of(str(each.line_id), each.line.kind, each.line.what, accepted.taken)].append(each.amount_net)
    tax = TaxCase(Category(accepted.tax_category), accepted.tax_percent, Reason(accepted.tax_reason))
    usable, questions = _in_currency(costs, estimate.currency)
    job = Job(
        key=f"estimate:{estimate.number}",
        client=client.name,
        title=shoot.title,
        lines=tuple(
            AgreedLine(
                key=line.key,
                what=line.what,
                quantity=line.quantity,
                unit_price=line.unit_price,
                unit=line.unit,
                working=line.working,
                markup_percent=line.markup_percent,
                is_at_most=line.is_at_most,
                is_at_cost=line.is_at_cost,
                is_disbursement=line.is_disbursement,
                raised_to=tuple(caps.get(line.key, ())),
            )
            for line in accepted.taken
        ),
        tax=tax,
        billable=Billable(estimate.billable_when),
        shot_on=shoot.shot_on,
        delivered_on=shoot.delivered_on,
        pictures_agreed=pictures[0],
        pictures_sent=pictures[1],
        promise=PriceKind(estimate.promise),
        tolerance_percent=estimate.tolerance_percent,
        discount_percent=accepted.option.discount_percent,
        discount_reason=accepted.option.discount_reason,
        costs=tuple(usable),
        deposits=deposits,
        order_number=_order_number(accepted.order_number, shoot, is_one_of_several=estimate.is_one_of_several),
        questions=(*questions, *_tax_changed(tax, tax_of(business, client))),
        currency=estimate.currency,
        language=estimate.language,
        **_party(client, business, tax, estimate.language),
    )
    has_licence = any(line.kind == "usage" for line in accepted.taken)
    what = "Shoot and licence" if has_licence else "Shoot"
    if deposits:
        what = f"Balance after {formats.percent(accepted.deposit_percent, 'en')} deposit"
    is_several = bool(shoot.shot_on and shoot.last_on and shoot.first_on and shoot.last_on != shoot.first_on)
    return BillableJob(
        job=job,
        what=what,
        client=client,
        business=business,
        tax_reason=tax.reason,
        shoot=shoot.pk,
        estimate=estimate,
        sentences=(
            *accepted.option.use.sentences[:1],
            *(sentence for use in accepted.option.further_uses for sentence in use.sentences[:1]),
            *accepted.option.use.sentences[1:2],
        )
        if has_licence
        else (),
        lapse_days=estimate.lapse_days if has_licence and estimate.begins != Begins.ON_PAYMENT else None,
        first_on=shoot.first_on if is_several else None,
        last_on=shoot.last_on if is_several else None,
    )


def _tax_changed(agreed: TaxCase, usual: TaxCase) -> tuple[Question, ...]:
    """A question where the profile or the client changed between the yes and the paper; none where the VAT is the same."""
    if (agreed.category, agreed.rate, agreed.reason) == (usual.category, usual.rate, usual.reason):
        return ()
    sentence = f"It was agreed with {_tax_in_words(agreed)}. By your profile and the client’s entry it would carry {_tax_in_words(usual)} now. It is billed as agreed."
    return (Question(sentence, "Ask your tax adviser, or make a new version of the estimate", Why.TAX_CHANGED),)


def _tax_in_words(tax: TaxCase) -> str:
    if tax.rate:
        return f"{formats.percent(tax.rate, 'en')} VAT"
    why = {
        Reason.SMALL_BUSINESS: "small business",
        Reason.REVERSE_CHARGE: "reverse charge",
        Reason.OUTSIDE_SCOPE: "outside the scope",
    }.get(tax.reason, "")
    return f"no VAT ({why})" if why else "no VAT"


def _fees_to_bill(*, pk: str, shoot: int | None) -> QuerySet[CancellationFee]:
    """Fees of shoots called off or put off; a cancelled shoot's costs and deposit go with its fee."""
    rows = (
        CancellationFee.objects.filter(Q(amount_net__gt=0) | Q(kind=FeeKind.CANCELLED))
        .exclude(_billed("cancellation:", Cast(OuterRef("pk"), CharField())))
        .annotate(is_one_of_several=_one_of_several("estimate__shoot", "estimate__number"))
    )
    rows = rows.filter(pk=pk) if pk.isdecimal() else rows
    rows = rows.filter(estimate__shoot=shoot) if shoot else rows
    of_estimate = (
        "number snapshot accepted_option__letter currency language tax_category tax_percent tax_reason order_number"
    )
    return rows.select_related("estimate__shoot", "estimate__accepted_option").only(
        *("kind", "percent", "amount_net", "was_on", "at"),
        *(f"estimate__{name}" for name in of_estimate.split()),
        *_of_shoot("estimate__shoot"),
    )


def _fee_jobs(fees: list[CancellationFee], beside: _Beside) -> list[BillableJob]:
    days = days_of(fee.at for fee in fees)
    jobs = []
    for fee in fees:
        estimate, is_last = fee.estimate, fee.kind == FeeKind.CANCELLED
        spent = beside.costs.pop(estimate.shoot_id, []) if is_last else []
        usable, questions = _in_currency([(cost, cost.row) for cost in spent], estimate.currency)
        lines = _fee_lines(fee, usable)
        mine = beside.numbers[estimate.shoot_id] if is_last else []
        paid = tuple(deposit for number in mine for deposit in beside.deposits.get(number, ()))
        if lines or paid:
            jobs.append(_fee_job(fee, lines, usable, questions, paid, beside, on=days[fee.at]))
    return jobs


def _fee_lines(fee: CancellationFee, costs: list[RecordedCost]) -> tuple[AgreedLine, ...]:
    language = fee.estimate.language
    with translation.override(language):
        what = gettext("Cancellation fee") if fee.kind == FeeKind.CANCELLED else gettext("Postponement fee")
        working = gettext("%(percent)s of the day rate, as the accepted terms say, for the shoot of %(day)s") % {
            "percent": formats.percent(fee.percent, language),
            "day": formats.day(fee.was_on, language),
        }
    due = [AgreedLine(key="fee", what=what, working=working, quantity=Decimal(1), unit_price=fee.amount_net)]
    return (
        *(due if fee.amount_net else []),
        *(
            AgreedLine(
                key=cost.key,
                what=cost.what,
                quantity=Decimal(1),
                unit_price=cost.net,
                is_at_cost=True,
                is_disbursement=cost.is_disbursement,
            )
            for cost in costs
        ),
    )


def _fee_job(
    fee: CancellationFee,
    lines: tuple[AgreedLine, ...],
    costs: list[RecordedCost],
    questions: list[Question],
    deposits: tuple[IssuedDeposit, ...],
    beside: _Beside,
    *,
    on: date,
) -> BillableJob:
    estimate, business = fee.estimate, beside.business
    client = beside.clients[estimate.shoot.billing_party_id]
    tax = TaxCase(Category(estimate.tax_category), estimate.tax_percent, Reason(estimate.tax_reason))
    own = tuple(
        RecordedCost(
            key=cost.key,
            what=cost.what,
            spent_on=cost.spent_on,
            net=cost.net,
            line_key=cost.key,
            is_disbursement=cost.is_disbursement,
        )
        for cost in costs
    )
    job = Job(
        key=f"cancellation:{fee.pk}",
        client=client.name,
        title=estimate.shoot.title,
        lines=lines,
        tax=tax,
        billable=Billable.AGREED,
        agreed_on=on,
        costs=own,
        deposits=deposits,
        order_number=_order_number(estimate.order_number, estimate.shoot, is_one_of_several=fee.is_one_of_several),
        questions=(*questions, *_tax_changed(tax, tax_of(business, client)), CANCELLATION_QUESTION),
        currency=estimate.currency,
        language=estimate.language,
        **_party(client, business, tax, estimate.language),
    )
    return BillableJob(
        job=job,
        what=f"Fee, {fee.get_kind_display().lower()}",
        client=client,
        business=business,
        tax_reason=tax.reason,
        shoot=estimate.shoot_id,
        estimate=estimate,
    )


def _licences_to_bill(*, pk: str, shoot: int | None) -> QuerySet[Licence]:
    """Licences sold without a shoot: renewals and further uses; a paid one again once its invoice was cancelled."""
    cancelled = Invoice.objects.filter(is_cancelled=True, licence=OuterRef("pk"))
    to_bill = Q(state=LicenceState.ACCEPTED) | Q(Exists(cancelled), state=LicenceState.PAID)
    rows = (
        Licence.objects.filter(to_bill, is_billed_with_shoot=False, fee_net__gt=0)
        .exclude(_billed("licence:", Cast(OuterRef("pk"), CharField())))
        .annotate(covered=number_of(Licence.licence_pictures))
    )
    rows = rows.filter(pk=pk) if pk.isdecimal() else rows
    rows = rows.filter(shoot=shoot) if shoot else rows
    return rows.only(
        *("number", "shoot", "billing_party", "renews", "frozen", "pictures_agreed", "fee_net", "currency"),
        *("use_months", "begins", "lapse_days", "order_number", "accepted_at"),
    )


def _licence_jobs(licences: list[Licence], beside: _Beside) -> list[BillableJob]:
    days = days_of(row.accepted_at for row in licences if row.accepted_at)
    return [_licence_job(row, beside, on=days.get(row.accepted_at)) for row in licences]


def _licence_job(licence: Licence, beside: _Beside, *, on: date | None) -> BillableJob:
    business, client = beside.business, beside.clients[licence.billing_party_id]
    language = client.language
    tax = tax_of(business, client)
    count = licence.covered or licence.pictures_agreed
    sentences = tuple(licence.frozen.get("sentences", ()))[:2]
    with translation.override(language):
        noun = gettext("Renewal") if licence.renews_id else gettext("Licence")
        title = f"{noun}, {formats.quantity(count, 'picture', language)}"
        line = AgreedLine(
            key="licence",
            what=gettext("%(noun)s %(number)s") % {"noun": noun, "number": licence.number},
            working=sentences[0] if sentences else "",
            quantity=Decimal(1),
            unit_price=licence.fee_net,
        )
    job = Job(
        key=f"licence:{licence.pk}",
        client=client.name,
        title=title,
        lines=(line,),
        tax=tax,
        billable=Billable.AGREED,
        agreed_on=on,
        order_number=licence.order_number,
        questions=(Question(tax.ask, "Open the client"),) if tax.ask else (),
        currency=licence.currency,
        language=language,
        **_party(client, business, tax, language),
    )
    term = _term(licence.use_months)
    return BillableJob(
        job=job,
        what=f"Licence, {term}",
        client=client,
        business=business,
        tax_reason=tax.reason,
        shoot=licence.shoot_id,
        licence=licence,
        sentences=sentences,
        lapse_days=None if licence.begins == Begins.ON_PAYMENT else licence.lapse_days,
    )


def _term(months: int | None) -> str:
    if months is None:
        return "without end"
    if months % 12 == 0:
        return f"{months // 12} year{'s' if months != 12 else ''}"
    return formats.quantity(months, "month", "en").replace("\u00a0", " ")


def _shoots_to_bill(on: date, *, pk: str, shoot: int | None) -> QuerySet[Shoot]:
    """Shoots that are done without an accepted estimate: with costs to charge, or done this month, so that none is forgotten."""
    costly = Exists(Expense.objects.filter(shoot=OuterRef("pk"), billed_on="").exclude(charge=Charge.NOT)) | Exists(
        Journey.objects.filter(shoot=OuterRef("pk"), billed_on="").exclude(charge=Charge.NOT)
    )
    first = on.replace(day=1)
    agreed = Estimate.objects.filter(shoot=OuterRef("pk"), state=EstimateState.ACCEPTED)
    rows = (
        Shoot.objects.filter(state__in=("shot", "delivered"))
        .exclude(Exists(agreed))
        .exclude(_billed("shoot:", Cast(OuterRef("pk"), CharField())))
        .filter(costly | Q(shot_on__gte=first) | Q(delivered_on__gte=first))
    )
    rows = rows.filter(pk=pk) if pk.isdecimal() else rows
    return (rows.filter(pk=shoot) if shoot else rows).only(*_OF_ITS_SHOOT, "billable_when")


def _unagreed_jobs(shoots: list[Shoot], beside: _Beside) -> list[BillableJob]:
    jobs, business = [], beside.business
    for each in shoots:
        client = beside.clients[each.billing_party_id]
        agreed, gone = beside.pictures.get(each.pk, (0, 0))
        tax = tax_of(business, client)
        usable, questions = _in_currency([(cost, cost.row) for cost in beside.costs.get(each.pk, [])], client.currency)
        job = Job(
            key=f"shoot:{each.pk}",
            client=client.name,
            title=each.title,
            lines=(),
            tax=tax,
            billable=Billable(each.billable_when),
            shot_on=each.shot_on,
            delivered_on=each.delivered_on,
            pictures_agreed=agreed,
            pictures_sent=gone,
            costs=tuple(usable),
            order_number=each.order_number,
            questions=(*questions, *((Question(tax.ask, "Open the client"),) if tax.ask else ())),
            currency=client.currency,
            language=client.language,
            **_party(client, business, tax, client.language),
        )
        jobs.append(
            BillableJob(job=job, what="Costs", client=client, business=business, tax_reason=tax.reason, shoot=each.pk)
        )
    return jobs


def _billed(prefix: str, name: Any) -> Exists:
    """Whether a standing invoice bills the job whose key is ``prefix`` and ``name``."""
    return Exists(Invoice.objects.filter(is_cancelled=False, job_key=Concat(Value(prefix), name)))


def _one_of_several(shoot: str, number: str) -> Exists:
    """Whether the shoot has another job beside this one: an accepted estimate under another number."""
    agreed = Estimate.objects.filter(shoot=OuterRef(shoot), state=EstimateState.ACCEPTED)
    return Exists(agreed.exclude(number=OuterRef(number)))


def _order_number(own: str, shoot: Shoot, *, is_one_of_several: bool) -> str:
    """The number of the shoot, which is put right there; but beside another job of the shoot each has the one it was accepted with."""
    return (own or shoot.order_number) if is_one_of_several else (shoot.order_number or own)


def _pictures(shoots: Iterable[int]) -> dict[int, tuple[int, int]]:
    """How many pictures of each shoot were agreed, and how many of them have gone out; a shoot without any is not named."""
    agreed = AgreedPicture.objects.filter(shoot__in=list(shoots), state=AgreedPicture.State.AGREED)
    sent = Count("pk", filter=Q(pictures__deliveries__state__in=SENT), distinct=True)
    rows = agreed.order_by().values_list("shoot").annotate(count=Count("pk", distinct=True), gone=sent)
    return {shoot: (count, gone) for shoot, count, gone in rows}


def _party(client: Client, business: BusinessProfile, tax: TaxCase, language: str) -> dict[str, Any]:
    """What a job takes from its client: days to pay, order number wanted, and what is missing for a legal invoice."""
    reason = tax_reason_in_words(tax.reason, business, language)
    case = InvoiceCase(categories=frozenset({str(tax.category)}), reason_text=reason)
    missing = missing_for_case(client, business, language=language, case=case)
    return {
        "payment_days": business.payment_days if client.payment_days is None else client.payment_days,
        "needs_order_number": client.is_order_number_required,
        "missing": tuple(each.sentence for each in missing),
    }


def _deposits(numbers: Iterable[str]) -> dict[str, tuple[IssuedDeposit, ...]]:
    found: dict[str, tuple[IssuedDeposit, ...]] = {}
    wanted = set(numbers)
    for row in deposits_of(wanted) if wanted else ():
        paid = round_money(row.paid)
        deposit = IssuedDeposit(
            number=row.number,
            issued_on=row.issued_on,
            groups=invoice_from_json(row.snapshot).tax_groups,
            paid=paid,
            paid_on=row.last_paid_on if paid >= row.to_pay else None,
            key=str(row.pk),
        )
        number = row.job_key.partition(":")[2]
        found[number] = (*found.get(number, ()), deposit)
    return found


def _raised(numbers: Iterable[str]) -> dict[str, list[CapRaise]]:
    found: dict[str, list[CapRaise]] = defaultdict(list)
    agreed = CapRaise.objects.filter(estimate__number__in=list(numbers), state=CapRaise.State.AGREED)
    wanted = ("amount_net", "line__kind", "line__what", "estimate__number")
    for row in agreed.select_related("line", "estimate").only(*wanted):
        found[row.estimate.number].append(row)
    return found


def _costs(shoots: Iterable[int]) -> dict[int, list[_Cost]]:
    """Costs of these shoots that the client pays and no invoice holds yet, as they are charged on."""
    shoots = list(shoots)
    found: dict[int, list[_Cost]] = defaultdict(list)
    if not shoots:
        return found
    profiles = all_profiles()
    open_ones = {"shoot__in": shoots, "billed_on": ""}
    of_both = ("what", "shoot", "charge", "estimate_line__kind", "estimate_line__what")
    expenses = Expense.objects.filter(**open_ones).exclude(charge=Charge.NOT).select_related("estimate_line")
    for row in expenses.only(*of_both, "spent_on", "currency", "gross", "tax", "markup_percent"):
        charged = charge_on(
            row.gross,
            row.tax,
            ChargeKind(row.charge),
            markup_percent=row.markup_percent if row.charge == Charge.WITH_MARKUP else ZERO,
            reclaims_tax=_reclaims(profiles, row.spent_on),
        )
        if charged is not None:
            found[row.shoot_id].append(
                _cost(
                    f"expense:{row.pk}",
                    row.what,
                    row.spent_on,
                    charged.net,
                    row,
                    is_disbursement=charged.is_disbursement,
                    currency=row.currency,
                )
            )
    journeys = Journey.objects.filter(**open_ones).exclude(charge=Charge.NOT)
    of_journey = ("travelled_on", "from_place", "to_place", "distance", "unit", "charge_rate")
    for row in journeys.select_related("estimate_line", "shoot__billing_party").only(
        *of_both[1:], *of_journey, "shoot__billing_party__language"
    ):
        net = round_money(row.distance * row.charge_rate)
        language = row.shoot.billing_party.language
        with translation.override(language):
            unit = "mile" if row.unit == "mi" else "kilometre"
            what = gettext("Travel from %(place)s to %(other)s, %(distance)s") % {
                "place": row.from_place,
                "other": row.to_place,
                "distance": formats.quantity(row.distance, unit, language),
            }
        found[row.shoot_id].append(
            _cost(f"journey:{row.pk}", what, row.travelled_on, net, row, is_disbursement=False, currency="")
        )
    return found


def _cost(
    key: str, what: str, on: date, net: Decimal, row: Expense | Journey, *, is_disbursement: bool, currency: str
) -> _Cost:
    line = row.estimate_line
    is_marked_up = row.charge == Charge.WITH_MARKUP
    recorded = RecordedCost(
        key=key, what=what, spent_on=on, net=net, is_disbursement=is_disbursement, is_marked_up=is_marked_up
    )
    return _Cost(recorded, currency, str(line.pk) if line else "", line.kind if line else "", line.what if line else "")


def _reclaims(profiles: list[BusinessProfile], on: date) -> bool:
    profile = profile_on(on, profiles)
    return profile.reclaims_tax if profile else True


def _line_of(pk: str, kind: str, what: str, lines: Iterable[LineShown]) -> str:
    """The accepted line a cost or a yes belongs to: the same row, or after a new version one of the same kind and name."""
    taken = list(lines)
    if any(line.key == pk for line in taken):
        return pk
    return next((line.key for line in taken if pk and (line.kind, line.what) == (kind, what)), "")


def _in_currency(costs: list[tuple[_Cost, RecordedCost]], currency: str) -> tuple[list[RecordedCost], list[Question]]:
    """Costs in the job's currency, and a question for each that is not."""
    usable = [row for cost, row in costs if cost.currency in {"", currency}]
    questions = [
        Question(
            f"{row.what} was paid in {cost.currency}, the job is billed in {currency}. It is not billed.",
            f"Enter the cost in {currency}",
            Why.OTHER_CURRENCY,
            row.key,
        )
        for cost, row in costs
        if cost.currency not in {"", currency}
    ]
    return usable, questions


def _draft_line(line: PlannedLine, billable: BillableJob) -> DraftLine:
    what, working = line.what, line.working
    language, currency = billable.job.language, billable.job.currency
    if line.source in {Source.CAPPED_COST, Source.COST}:
        receipts = ngettext("%(what)s, one receipt", "%(what)s, %(count)s receipts", line.receipts)
        what = receipts % {"what": what, "count": formats.number(line.receipts, language)}
        working = gettext("At cost, net of recoverable VAT") if billable.business.reclaims_tax else gettext("At cost")
        if line.is_marked_up:
            working = gettext("Cost with the agreed mark-up")
        if line.cap is not None:
            working += ". " + gettext("At most %(sum)s was agreed") % {
                "sum": formats.money(line.cap, currency, language)
            }
    elif line.source == Source.EXTRA:
        working = gettext("At cost, beyond the estimate")
    elif line.source == Source.DISBURSEMENT:
        working = gettext("Paid in your name, passed on without VAT")
    return DraftLine(
        what=what,
        working=working,
        quantity=line.quantity,
        unit=line.unit,
        unit_price=line.unit_price,
        category=line.category,
        rate=line.rate,
        line_key=line.line_key,
        cost_keys=line.cost_keys,
    )
