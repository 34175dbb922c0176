"""The month-end plan: which invoices come, what is odd about them, which jobs are held back and the way round. Nothing is written here.

The same plan serves the dry run, the run itself and a single job billed on the day it is delivered. What was agreed is billed as agreed;
costs marked *at most* as they came, never above the cap; a fixed price takes no extras, an estimate takes them up to its tolerance.
Deposits already invoiced are deducted whether paid or not: an unpaid one stays due under its own number. Common practice, no source.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from enum import StrEnum

from billing.estimates.terms import PriceKind, highest_without_a_yes
from billing.expenses.charging import under_cap
from billing.sums.tax import DISBURSED, TaxCase
from billing.sums.totals import (
    Category,
    Line,
    Remainder,
    TaxGroup,
    Totals,
    WholeAdjustment,
    after_deposits,
    percentage,
    totals,
)
from shared.dates import PaymentReading, payment_due
from shared.money import ZERO, round_money
from shared.words import formats

ONE = Decimal(1)


class InvalidPlan(ValueError):
    """Two jobs with one key, or lines that name each other wrongly: the caller mixed something up."""


class Billable(StrEnum):
    """When work may be billed, as the accepted terms say; a renewed licence or a fee when it was agreed."""

    SHOT = "shot"
    DELIVERED = "delivered"
    AGREED = "agreed"


class Source(StrEnum):
    """Where a planned line comes from, so that the paper can say so in the client's language."""

    AGREED = "agreed"
    CAPPED_COST = "capped_cost"
    COST = "cost"
    EXTRA = "extra"
    DISBURSEMENT = "disbursement"


class Why(StrEnum):
    """Why a job is held back, or what is odd about an invoice to come."""

    NOT_DELIVERED = "not_delivered"
    NO_ORDER_NUMBER = "no_order_number"
    PARTICULARS = "particulars"
    NOTHING_AGREED = "nothing_agreed"
    ABOVE_CAP = "above_cap"
    ABOVE_PROMISE = "above_promise"
    NOT_IN_FIXED_PRICE = "not_in_fixed_price"
    NO_COST_RECORDED = "no_cost_recorded"
    DEPOSIT_UNPAID = "deposit_unpaid"
    PAY_BACK = "pay_back"
    DEPOSIT_TO_GIVE_BACK = "deposit_to_give_back"
    TAX_CHANGED = "tax_changed"
    OTHER_CURRENCY = "other_currency"
    QUESTION = "question"


@dataclass(frozen=True, slots=True, kw_only=True)
class AgreedLine:
    """A line the client has taken, as frozen: quantity × rate plus mark-up is ``net``. ``raised_to``: later yeses to a higher cap."""

    key: str
    what: str
    quantity: Decimal
    unit_price: Decimal
    unit: str = ""
    working: str = ""
    markup_percent: Decimal = ZERO
    is_at_most: bool = False
    is_at_cost: bool = False
    is_disbursement: bool = False
    raised_to: tuple[Decimal, ...] = ()

    @property
    def net(self) -> Decimal:
        base = round_money(self.quantity * self.unit_price)
        return base + round_money(base * self.markup_percent / 100)


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordedCost:
    """A cost to charge on, before VAT and with its mark-up in it (see ``billing.expenses.charging``); ``line_key`` names the agreed line it belongs to."""

    key: str
    what: str
    spent_on: date
    net: Decimal
    line_key: str = ""
    is_disbursement: bool = False
    is_marked_up: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class IssuedDeposit:
    """A deposit invoice that stands: its VAT groups, and how much of it has been paid. ``key`` leads back to it."""

    number: str
    issued_on: date
    groups: tuple[TaxGroup, ...]
    paid: Decimal = ZERO
    paid_on: date | None = None
    key: str = ""

    @property
    def gross(self) -> Decimal:
        return sum((group.gross for group in self.groups), ZERO)

    @property
    def tax(self) -> Decimal:
        return sum((group.tax for group in self.groups), ZERO)


@dataclass(frozen=True, slots=True)
class Question:
    """Something the caller found that a person should look at; ``cost_key`` names the cost it is about."""

    sentence: str
    way_round: str
    why: Why = Why.QUESTION
    cost_key: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """A job not billed yet. ``missing`` are sentences on what is missing for a legal invoice; the caller leaves out billed and cancelled jobs.

    ``questions`` are sentences to look at, each with its way round; they hold nothing back.
    """

    key: str
    client: str
    title: str
    lines: tuple[AgreedLine, ...]
    tax: TaxCase
    billable: Billable = Billable.DELIVERED
    shot_on: date | None = None
    delivered_on: date | None = None
    agreed_on: date | None = None
    pictures_sent: int = 0
    pictures_agreed: int = 0
    promise: PriceKind = PriceKind.FIXED
    tolerance_percent: Decimal = ZERO
    discount_percent: Decimal = ZERO
    discount_reason: str = ""
    costs: tuple[RecordedCost, ...] = ()
    deposits: tuple[IssuedDeposit, ...] = ()
    order_number: str = ""
    needs_order_number: bool = False
    missing: tuple[str, ...] = ()
    questions: tuple[Question, ...] = ()
    payment_days: int = 14
    payment_reading: PaymentReading = PaymentReading.DAYS
    currency: str = "EUR"
    language: str = "en"

    @property
    def done_on(self) -> date | None:
        """The day from which the job may be billed, by its terms; None while that day has not come."""
        return {Billable.SHOT: self.shot_on, Billable.DELIVERED: self.delivered_on, Billable.AGREED: self.agreed_on}[
            self.billable
        ]


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedLine:
    """A line of an invoice to come; quantity × rate, rounded, is ``net``. ``cap`` and ``receipts`` are for the paper's line of words."""

    what: str
    quantity: Decimal
    unit: str
    unit_price: Decimal
    net: Decimal
    category: Category
    rate: Decimal
    source: Source
    working: str = ""
    line_key: str = ""
    cost_keys: tuple[str, ...] = ()
    cap: Decimal | None = None
    is_marked_up: bool = False

    @property
    def receipts(self) -> int:
        return len(self.cost_keys)


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """Something to look at before the invoice is made; it does not hold it back. ``agreed`` and ``actual`` are net sums."""

    job_key: str
    why: Why
    sentence: str
    way_round: str
    line_key: str = ""
    cost_key: str = ""
    agreed: Decimal | None = None
    actual: Decimal | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class HeldBack:
    """A job that is not billed now: why, and the way round. ``to_pay`` is what it would ask for, deposits deducted, where that is known."""

    job: Job
    why: Why
    sentence: str
    way_round: str
    to_pay: Decimal | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class InvoiceToCome:
    """An invoice as it would be issued on ``issued_on``; ``left`` is base and VAT per rate after the deposits, by difference."""

    job: Job
    issued_on: date
    due_on: date
    supplied_on: date
    lines: tuple[PlannedLine, ...]
    discount: Decimal
    totals: Totals
    deposits: tuple[IssuedDeposit, ...]
    left: tuple[Remainder, ...]
    cost_keys: tuple[str, ...]
    adjustment: WholeAdjustment | None = None

    @property
    def to_pay(self) -> Decimal:
        return self.totals.due


@dataclass(frozen=True, slots=True, kw_only=True)
class MonthPlan:
    """Everything a run would do, in a fixed order: by client, then by the day the work was done."""

    invoices: tuple[InvoiceToCome, ...] = ()
    problems: tuple[Problem, ...] = ()
    held_back: tuple[HeldBack, ...] = ()

    def to_pay(self) -> dict[str, Decimal]:
        """What the invoices ask for, per currency."""
        sums: dict[str, Decimal] = {}
        for invoice in self.invoices:
            sums[invoice.job.currency] = sums.get(invoice.job.currency, ZERO) + invoice.to_pay
        return sums

    def tax(self) -> dict[tuple[str, Decimal], Decimal]:
        """VAT the invoices add, after deposits, per currency and rate."""
        sums: dict[tuple[str, Decimal], Decimal] = {}
        for invoice in self.invoices:
            for group in invoice.left:
                key = (invoice.job.currency, group.rate)
                sums[key] = sums.get(key, ZERO) + group.tax
        return {key: tax for key, tax in sums.items() if tax}


def plan_month(jobs: Iterable[Job], *, issued_on: date, made_on: date | None = None) -> MonthPlan:
    """The plan for all jobs done by ``issued_on`` (the month's last day, or today). Jobs to come are not mentioned.

    ``made_on``: the day the papers are really made, if later; days to pay count from it, so that no client gets an invoice that is due. The order of ``jobs`` does not matter. Raises InvalidPlan when two jobs share a key.
    """
    known = sorted(jobs, key=lambda job: (job.client.casefold(), job.done_on or job.shot_on or date.max, job.key))
    if len({job.key for job in known}) != len(known):
        raise InvalidPlan("Two jobs have the same key.")
    plans = [plan_job(job, issued_on=issued_on, made_on=made_on) for job in known]
    return MonthPlan(
        invoices=tuple(each for plan in plans for each in plan.invoices),
        problems=tuple(each for plan in plans for each in plan.problems),
        held_back=tuple(each for plan in plans for each in plan.held_back),
    )


def plan_job(job: Job, *, issued_on: date, made_on: date | None = None) -> MonthPlan:
    """The plan for one job: one invoice and its problems, or one reason why it is held back, or nothing while it is still to come."""
    done_on = job.done_on
    if done_on is None or done_on > issued_on:
        if job.billable == Billable.DELIVERED and job.shot_on is not None and job.shot_on <= issued_on:
            return MonthPlan(held_back=(_not_delivered(job, issued_on),))
        return MonthPlan()
    invoice, problems = _invoice(job, issued_on, done_on, made_on)
    if invoice is None:
        if job.billable == Billable.AGREED:
            return MonthPlan(held_back=(_to_give_back(job, job.deposits[0]),) if job.deposits else ())
        return MonthPlan(held_back=(_held(job, Why.NOTHING_AGREED, "Nothing was agreed and no cost is to be charged on.", "Make an estimate, or record what to charge"),), problems=problems)  # fmt: skip
    if job.needs_order_number and not job.order_number:
        sentence = f"{job.client} sends invoices back without an order number."
        return MonthPlan(held_back=(_held(job, Why.NO_ORDER_NUMBER, sentence, "Enter the order number", invoice),))
    if job.missing:
        return MonthPlan(
            held_back=(_held(job, Why.PARTICULARS, " ".join(job.missing), "Fill in what is missing", invoice),)
        )
    return MonthPlan(invoices=(invoice,), problems=problems)


@dataclass(slots=True)
class _Draft:
    """The lines of one invoice while they are put together."""

    job: Job
    lines: list[PlannedLine] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)
    own_work: Decimal = ZERO

    def money(self, amount: Decimal) -> str:
        return formats.money(amount, self.job.currency, "en")

    def problem(
        self,
        why: Why,
        sentence: str,
        way_round: str,
        *,
        line_key: str = "",
        cost_key: str = "",
        agreed: Decimal | None = None,
        actual: Decimal | None = None,
    ) -> None:
        self.problems.append(
            Problem(
                job_key=self.job.key,
                why=why,
                sentence=sentence,
                way_round=way_round,
                line_key=line_key,
                cost_key=cost_key,
                agreed=agreed,
                actual=actual,
            )
        )

    def add(self, what: str, net: Decimal, source: Source, *, line: AgreedLine | None = None, costs: Sequence[RecordedCost] = (), cap: Decimal | None = None) -> None:  # fmt: skip
        """A line of one lump sum, so that quantity × rate is its net to the cent."""
        untaxed = source == Source.DISBURSEMENT
        category, rate = self._tax(is_disbursement=untaxed)
        self.lines.append(
            PlannedLine(
                what=what, quantity=ONE, unit="", unit_price=net, net=net, category=category, rate=rate, source=source,
                working=line.working if line else "", line_key=line.key if line else "",
                cost_keys=tuple(cost.key for cost in costs), cap=cap, is_marked_up=any(cost.is_marked_up for cost in costs),
            )
        )  # fmt: skip

    def add_costs(self, line: AgreedLine, costs: Sequence[RecordedCost], source: Source, *, most: Decimal | None = None, cap: Decimal | None = None) -> None:  # fmt: skip
        """The costs of a line as they came, those that carry VAT apart from money laid out; never above ``most`` in all, the line's own kind first."""
        left = sum((cost.net for cost in costs), ZERO) if most is None else most
        for is_disbursement in (line.is_disbursement, not line.is_disbursement):
            of_kind = [cost for cost in costs if cost.is_disbursement == is_disbursement]
            if not of_kind:
                continue
            net = min(left, sum((cost.net for cost in of_kind), ZERO))
            left -= net
            self.add(
                line.what, net, Source.DISBURSEMENT if is_disbursement else source, line=line, costs=of_kind, cap=cap
            )
            if not is_disbursement and not line.is_at_cost and not line.is_disbursement:
                self.own_work += net  # as on the estimate: own work at most is discounted, what is passed on is not

    def add_agreed(self, line: AgreedLine, costs: Sequence[RecordedCost] = ()) -> None:
        """A line as it was agreed: quantity × rate, or one lump sum where a mark-up is in it."""
        source = Source.DISBURSEMENT if line.is_disbursement else Source.AGREED
        if line.markup_percent or round_money(line.quantity * line.unit_price) != line.net:
            self.add(line.what, line.net, source, line=line, costs=costs)
        else:
            category, rate = self._tax(is_disbursement=line.is_disbursement)
            self.lines.append(
                PlannedLine(
                    what=line.what, quantity=line.quantity, unit=line.unit, unit_price=line.unit_price, net=line.net, category=category,
                    rate=rate, source=source, working=line.working, line_key=line.key, cost_keys=tuple(cost.key for cost in costs),
                )
            )  # fmt: skip
        if not line.is_at_cost and not line.is_disbursement:
            self.own_work += line.net

    def _tax(self, *, is_disbursement: bool) -> tuple[Category, Decimal]:
        tax = self.job.tax
        if not is_disbursement:
            return tax.category, tax.rate
        return (tax.category if tax.category == Category.OUTSIDE_SCOPE else DISBURSED.category), ZERO


def _invoice(
    job: Job, issued_on: date, done_on: date, made_on: date | None = None
) -> tuple[InvoiceToCome | None, tuple[Problem, ...]]:
    draft = _Draft(job)
    keys = [line.key for line in job.lines]
    if len(set(keys)) != len(keys):
        raise InvalidPlan(f"Two lines of {job.key} have the same key.")
    costs = sorted(
        (cost for cost in job.costs if cost.spent_on <= issued_on), key=lambda cost: (cost.spent_on, cost.key)
    )
    extras = [cost for cost in costs if cost.line_key not in keys]
    for line in job.lines:
        _add_line(draft, line, [cost for cost in costs if cost.line_key == line.key])
    _add_extras(draft, extras)
    if not draft.lines or not any(line.net for line in draft.lines):
        return None, tuple(draft.problems)
    discount = (
        percentage(job.discount_percent, draft.own_work, job.discount_reason or "Discount")
        if job.discount_percent
        else None
    )
    adjustment = WholeAdjustment(discount, job.tax.category, job.tax.rate) if discount and discount.amount else None
    prepaid = sum((deposit.gross for deposit in job.deposits), ZERO)
    reckoned = totals(
        [Line(line.quantity, line.unit_price, line.category, line.rate) for line in draft.lines],
        allowances=[adjustment] if adjustment else [],
        prepaid=prepaid,
    )
    _look_at_deposits(draft, reckoned)
    for question in job.questions:
        draft.problem(question.why, question.sentence, question.way_round, cost_key=question.cost_key)
    invoice = InvoiceToCome(
        job=job,
        issued_on=issued_on,
        due_on=payment_due(max(issued_on, made_on or issued_on), job.payment_days, job.payment_reading),
        supplied_on=job.shot_on or done_on,
        lines=tuple(draft.lines),
        discount=discount.amount if discount else ZERO,
        totals=reckoned,
        deposits=tuple(sorted(job.deposits, key=lambda deposit: (deposit.issued_on, deposit.number))),
        left=after_deposits(reckoned.groups, [group for deposit in job.deposits for group in deposit.groups]),
        cost_keys=tuple(key for line in draft.lines for key in line.cost_keys),
        adjustment=adjustment,
    )
    return invoice, tuple(draft.problems)


def _add_line(draft: _Draft, line: AgreedLine, costs: Sequence[RecordedCost]) -> None:
    actual = sum((cost.net for cost in costs), ZERO)
    if line.is_at_most:
        if not costs:
            draft.problem(
                Why.NO_COST_RECORDED,
                f"{line.what}: no cost is recorded, so nothing is billed of the {draft.money(line.net)} agreed at most.",
                "Record a cost",
                line_key=line.key,
                agreed=line.net,
                actual=ZERO,
            )
            return
        capped = under_cap([actual], line.net, line.raised_to)
        draft.add_costs(line, costs, Source.CAPPED_COST, most=capped.billed, cap=capped.cap)
        if capped.excess:
            draft.problem(
                Why.ABOVE_CAP,
                f"{line.what} came to {draft.money(actual)}, net of recoverable VAT. The client agreed at most {draft.money(capped.cap)}, so {draft.money(capped.cap)} is billed.",
                f"Ask the client to agree {draft.money(actual)}",
                line_key=line.key,
                agreed=capped.cap,
                actual=actual,
            )
    elif (line.is_disbursement and costs) or (
        line.is_at_cost
        and costs
        and draft.job.promise == PriceKind.TOLERANCE
        and (actual <= line.net or _fits(draft, actual - line.net))
    ):
        draft.add_costs(line, costs, Source.COST)
    else:
        draft.add_agreed(line, costs)
        if line.is_at_cost and actual > line.net and draft.job.promise == PriceKind.TOLERANCE:
            _above_promise(draft, line.what, actual - line.net, line.key)


def _add_extras(draft: _Draft, extras: Sequence[RecordedCost]) -> None:
    """Costs that belong to no agreed line. Without any agreed line there is no promise to keep: the client pays what was spent."""
    for cost in extras:
        if cost.is_disbursement:
            draft.add(cost.what, cost.net, Source.DISBURSEMENT, costs=[cost])
        elif not draft.job.lines or (draft.job.promise == PriceKind.TOLERANCE and _fits(draft, cost.net)):
            draft.add(cost.what, cost.net, Source.EXTRA, costs=[cost])
        elif draft.job.promise == PriceKind.FIXED:
            draft.problem(
                Why.NOT_IN_FIXED_PRICE,
                f"{cost.what}, {draft.money(cost.net)}, is in no line of the accepted estimate. The price is fixed, so it is not billed.",
                "Make a new version of the estimate, or keep the cost yourself",
                actual=cost.net,
            )
        else:
            _above_promise(draft, cost.what, cost.net, "")


def _fits(draft: _Draft, rise: Decimal) -> bool:
    """Whether the job, with what is planned so far and the agreed lines still to come, may rise by ``rise`` without a new yes."""
    job = draft.job
    agreed = sum((line.net for line in job.lines), ZERO)
    planned = {line.line_key for line in draft.lines if line.line_key}
    to_come = sum((line.net for line in job.lines if line.key not in planned and not line.is_disbursement), ZERO)
    so_far = sum((line.net for line in draft.lines if line.source != Source.DISBURSEMENT), ZERO)
    skipped = {problem.line_key for problem in draft.problems if problem.why == Why.NO_COST_RECORDED}
    to_come -= sum((line.net for line in job.lines if line.key in skipped and not line.is_disbursement), ZERO)
    base = agreed - sum((line.net for line in job.lines if line.is_disbursement), ZERO)
    return so_far + to_come + rise <= highest_without_a_yes(base, job.promise, job.tolerance_percent)


def _above_promise(draft: _Draft, what: str, rise: Decimal, line_key: str) -> None:
    job = draft.job
    tolerance = formats.percent(job.tolerance_percent, "en")
    draft.problem(
        Why.ABOVE_PROMISE,
        f"{what}: {draft.money(rise)} more would bring the job above the {tolerance} it may rise by, so that is not billed.",
        "Make a new version of the estimate and ask the client to agree",
        line_key=line_key,
        actual=rise,
    )


def _look_at_deposits(draft: _Draft, reckoned: Totals) -> None:
    for deposit in draft.job.deposits:
        if deposit.paid < deposit.gross:
            draft.problem(
                Why.DEPOSIT_UNPAID,
                f"Deposit invoice {deposit.number} is not paid in full: {draft.money(deposit.gross - deposit.paid)} is open. It is deducted here and stays due by itself.",
                "Remind the client of the deposit, or cancel it by credit note",
                agreed=deposit.gross,
                actual=deposit.paid,
            )
    if reckoned.due < 0:
        draft.problem(
            Why.PAY_BACK,
            f"The deposit was {draft.money(-reckoned.due)} more than the job comes to.",
            f"Pay back {draft.money(-reckoned.due)}",
            actual=reckoned.due,
        )


def _not_delivered(job: Job, issued_on: date) -> HeldBack:
    sentence = "Not delivered."
    if job.pictures_agreed:
        verb = "has" if job.pictures_sent == 1 else "have"
        sentence = f"Not delivered. {job.pictures_sent} of {job.pictures_agreed} pictures {verb} gone out."
    invoice, _ = _invoice(job, issued_on, issued_on)
    return _held(job, Why.NOT_DELIVERED, sentence, "Open the delivery", invoice)


def _to_give_back(job: Job, deposit: IssuedDeposit) -> HeldBack:
    """A job called off without anything to bill: what was asked for in advance is not owed any more."""
    sentence = f"Nothing is to be billed, so deposit {deposit.number} is not owed any more."
    if deposit.paid > 0:
        paid = formats.money(deposit.paid, job.currency, "en")
        sentence = f"Nothing is to be billed: {paid} paid on deposit {deposit.number} go back to the client."
    return _held(job, Why.DEPOSIT_TO_GIVE_BACK, sentence, f"Cancel deposit {deposit.number} by credit note")


def _held(job: Job, why: Why, sentence: str, way_round: str, invoice: InvoiceToCome | None = None) -> HeldBack:
    return HeldBack(
        job=job, why=why, sentence=sentence, way_round=way_round, to_pay=invoice.to_pay if invoice else None
    )
