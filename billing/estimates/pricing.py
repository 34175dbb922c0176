"""What an option of an estimate comes to: its lines with their working, discount, VAT per rate, total and deposit.

A discount is taken off the studio's own work, never off costs that are passed on. VAT and deposit by ``billing.sums``: one rounding
per category and rate; the deposit is split per rate when it is asked for.
"""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from billing.sums.tax import DISBURSED, TaxCase
from billing.sums.totals import (
    Adjustment,
    Category,
    Line,
    TaxGroup,
    WholeAdjustment,
    deposit_groups,
    percentage,
    totals,
)
from shared.money import ZERO, round_money


class InvalidPricing(ValueError):
    """A line, discount or deposit that cannot be offered; the sentence says what to change."""


class LineKind(StrEnum):
    """What a line is for, in the trade's words."""

    SHOOTING_DAY = "shooting_day"
    HALF_DAY = "half_day"
    PREPARATION = "preparation"
    OVERTIME = "overtime"
    ASSISTANT = "assistant"
    STYLIST = "stylist"
    KIT = "kit"
    TRAVEL = "travel"
    MILEAGE = "mileage"
    FOOD_AND_PROPS = "food_and_props"
    FINISHING = "finishing"
    USAGE = "usage"
    OTHER = "other"


@dataclass(frozen=True, slots=True)
class OfferedLine:
    """One line as offered. ``is_at_most``: a capped cost; ``is_at_cost``: passed on; ``is_disbursement``: paid in the client's name, no VAT."""

    key: str
    kind: LineKind
    quantity: Decimal
    unit_price: Decimal
    markup_percent: Decimal = ZERO
    is_at_most: bool = False
    is_at_cost: bool = False
    is_disbursement: bool = False
    is_optional: bool = False

    def __post_init__(self) -> None:
        if self.quantity < 0 or self.unit_price < 0:
            raise InvalidPricing("Enter a quantity and a rate of 0 or more.")
        if self.markup_percent < 0:
            raise InvalidPricing("A mark-up is 0% or more.")
        if self.is_disbursement and self.markup_percent:
            raise InvalidPricing("Money laid out in the client’s name is passed on exactly, without mark-up.")


@dataclass(frozen=True, slots=True)
class Discount:
    """Taken off the studio's own work: a percentage or an amount, with its reason."""

    reason: str
    percent: Decimal = ZERO
    amount: Decimal = ZERO

    def __post_init__(self) -> None:
        if self.percent and self.amount:
            raise InvalidPricing("A discount is a percentage or an amount, not both.")
        if not 0 <= self.percent <= 100 or self.amount < 0:
            raise InvalidPricing("A discount is 0 to 100%, or an amount of 0 or more.")


@dataclass(frozen=True, slots=True)
class PricedLine:
    """A line with its working: quantity × rate is ``base``, plus ``markup``, is ``net``."""

    line: OfferedLine
    base: Decimal
    markup: Decimal
    net: Decimal
    category: Category
    rate: Decimal


@dataclass(frozen=True, slots=True)
class PricedOption:
    """An option with its sums. ``left_out`` are optional lines not chosen, priced all the same so that the page can show them."""

    lines: tuple[PricedLine, ...]
    left_out: tuple[PricedLine, ...]
    lines_net: Decimal
    discount: Decimal
    net: Decimal
    groups: tuple[TaxGroup, ...]
    tax: Decimal
    gross: Decimal
    deposit: tuple[TaxGroup, ...]

    @property
    def deposit_net(self) -> Decimal:
        return sum((group.base for group in self.deposit), ZERO)

    @property
    def deposit_tax(self) -> Decimal:
        return sum((group.tax for group in self.deposit), ZERO)

    @property
    def deposit_gross(self) -> Decimal:
        return self.deposit_net + self.deposit_tax


def price_option(
    lines: Sequence[OfferedLine],
    tax: TaxCase,
    *,
    deposit_percent: Decimal = ZERO,
    discount: Discount | None = None,
    chosen_optional: Collection[str] = (),
) -> PricedOption:
    """The option with the optional lines whose keys are in ``chosen_optional``. An option without lines comes to nothing.

    Raises InvalidPricing for a deposit outside 0 to 100 per cent, a discount above the studio's own work, or a key that is no optional line.
    """
    if not 0 <= deposit_percent <= 100:
        raise InvalidPricing("A deposit is 0 to 100% of the total.")
    unknown = set(chosen_optional) - {line.key for line in lines if line.is_optional}
    if unknown:
        raise InvalidPricing(f"These are not optional lines of this option: {', '.join(sorted(unknown))}.")
    priced = [price_line(line, tax) for line in lines]
    taken = [each for each in priced if not each.line.is_optional or each.line.key in chosen_optional]
    left_out = tuple(each for each in priced if each not in taken)
    if not taken:
        return PricedOption((), left_out, ZERO, ZERO, ZERO, (), ZERO, ZERO, ())
    off = _discount(discount, taken)
    reckoned = totals(
        [Line(Decimal(1), each.net, each.category, each.rate) for each in taken],
        allowances=[WholeAdjustment(off, tax.category, tax.rate)] if off else [],
    )
    return PricedOption(
        lines=tuple(taken),
        left_out=left_out,
        lines_net=reckoned.line_total,
        discount=reckoned.allowance_total,
        net=reckoned.net,
        groups=reckoned.groups,
        tax=reckoned.tax,
        gross=reckoned.gross,
        deposit=deposit_groups(reckoned.groups, deposit_percent) if deposit_percent else (),
    )


def price_line(line: OfferedLine, tax: TaxCase) -> PricedLine:
    """One line: quantity × rate rounded once, the mark-up rounded once; a disbursement carries no VAT."""
    base = round_money(line.quantity * line.unit_price)
    markup = round_money(base * line.markup_percent / 100)
    # Work outside the scope of VAT cannot stand beside an exempt line (BR-O-11), so there a disbursement is outside the scope too.
    untaxed = tax.category if tax.category == Category.OUTSIDE_SCOPE else DISBURSED.category
    category, rate = (untaxed, ZERO) if line.is_disbursement else (tax.category, tax.rate)
    return PricedLine(line, base, markup, base + markup, category, rate)


def _discount(discount: Discount | None, taken: Sequence[PricedLine]) -> Adjustment | None:
    if discount is None or not (discount.percent or discount.amount):
        return None
    own_work = sum((each.net for each in taken if not each.line.is_at_cost and not each.line.is_disbursement), ZERO)
    if discount.percent:
        return percentage(discount.percent, own_work, discount.reason)
    if discount.amount > own_work:
        raise InvalidPricing(
            "The discount is larger than your own work in this option. Passed-on costs are not discounted."
        )
    return Adjustment(round_money(discount.amount), discount.reason)
