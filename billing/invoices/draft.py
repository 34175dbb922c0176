"""An invoice before it has a number: handed in by whoever bills (an accepted estimate, a month, a deposit) and reckoned here.

Rows are named by their keys only, so nothing here touches a table. Totals by ``billing.sums``: VAT once per category and rate; what
deposit invoices have taxed already is deducted with its VAT.
"""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from billing.sums.tax import DISBURSED, Reason
from billing.sums.totals import (
    Category,
    Line,
    TaxGroup,
    Totals,
    WholeAdjustment,
    deposit_groups,
    tax_group,
    totals,
)
from shared.money import ZERO


@dataclass(frozen=True, slots=True, kw_only=True)
class DraftLine:
    """A line to be billed. ``line_key`` names the estimate's line, ``cost_keys`` the costs in it: ``expense:3``, ``journey:8``."""

    what: str
    quantity: Decimal
    unit_price: Decimal
    category: Category
    rate: Decimal
    unit: str = ""
    working: str = ""
    line_key: str = ""
    cost_keys: tuple[str, ...] = ()

    @property
    def net(self) -> Decimal:
        return self.as_line().net

    def as_line(self) -> Line:
        """The line as ``billing.sums`` reckons it."""
        return Line(self.quantity, self.unit_price, self.category, self.rate)


@dataclass(frozen=True, slots=True, kw_only=True)
class DeductedDeposit:
    """A deposit invoice that the final invoice deducts, with its VAT groups and the day it was paid, if it was."""

    number: str
    issued_on: date
    groups: tuple[TaxGroup, ...]
    paid_on: date | None = None

    @property
    def gross(self) -> Decimal:
        return sum((group.gross for group in self.groups), ZERO)


@dataclass(frozen=True, slots=True, kw_only=True)
class InvoiceDraft:
    """All that a paper needs apart from its number and the two parties. ``client``, ``shoot``, ``estimate``, ``licence`` are keys of rows."""

    job_key: str
    kind: str
    title: str
    language: str
    currency: str
    client: int
    lines: tuple[DraftLine, ...]
    issued_on: date
    due_on: date
    supplied_on: date | None = None
    supplied_last_on: date | None = None
    shoot: int | None = None
    estimate: int | None = None
    licence: int | None = None
    estimate_name: str = ""
    discount: WholeAdjustment | None = None
    deposits: tuple[DeductedDeposit, ...] = ()
    tax_reason: Reason = Reason.NONE
    order_number: str = ""
    licence_sentences: tuple[str, ...] = ()
    lapses_after: date | None = None

    @property
    def cost_keys(self) -> tuple[str, ...]:
        return tuple(key for line in self.lines for key in line.cost_keys)

    @property
    def prepaid(self) -> Decimal:
        return sum((deposit.gross for deposit in self.deposits), ZERO)


def reckon(draft: InvoiceDraft) -> Totals:
    """The totals of the paper. Raises InvalidTotals when it has no line or mixes categories that may not share a paper."""
    return totals(
        [line.as_line() for line in draft.lines],
        allowances=[draft.discount] if draft.discount else [],
        prepaid=draft.prepaid,
    )


def reasons(draft: InvoiceDraft) -> tuple[Reason, ...]:
    """Why lines of this paper carry no VAT, each reason once: the job's own, and that of money laid out in the client's name."""
    found = [draft.tax_reason] if draft.tax_reason != Reason.NONE else []
    has_other_exempt = any(line.category == DISBURSED.category for line in draft.lines) and draft.tax_reason not in {
        Reason.SMALL_BUSINESS,
        Reason.DISBURSEMENT,
    }
    return (*found, *((Reason.DISBURSEMENT,) if has_other_exempt else ()))


def deposit_lines(
    what: str, working: str, taxed: Decimal, untaxed: Decimal, percent: Decimal, category: Category, rate: Decimal
) -> tuple[DraftLine, ...]:
    """The lines of a deposit of ``percent`` per cent: one per VAT category and rate, so that its VAT can be deducted per rate later.

    ``taxed`` and ``untaxed`` are what the accepted estimate comes to before VAT, and what of it is laid out in the client's name.
    """
    bases: dict[tuple[Category, Decimal], Decimal] = {(category, rate): taxed}
    if untaxed:
        other = (category if category == Category.OUTSIDE_SCOPE else DISBURSED.category, ZERO)
        bases[other] = bases.get(other, ZERO) + untaxed
    groups = deposit_groups([tax_group(*key, base) for key, base in bases.items()], percent)
    return tuple(
        DraftLine(
            what=what,
            working=working,
            quantity=Decimal(1),
            unit_price=group.base,
            category=group.category,
            rate=group.rate,
        )
        for group in groups
        if group.base
    )
