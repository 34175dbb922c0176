"""Lines, document discounts and totals of a paper, by the model of EN 16931-1:2017 (business terms BT and rules BR in the docstrings).

VAT is rounded once per category and rate, never per line. Half a cent goes away from zero, so a credit mirrors its invoice. The
official rule sheets let a VAT amount pass that is off by less than 1.00; here nothing is off.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from shared.money import ZERO, round_money

ONE = Decimal(1)


class Category(StrEnum):
    """VAT category, BT-118 and BT-151 (UNTDID 5305 as EN 16931 restricts it)."""

    STANDARD = "S"
    ZERO_RATED = "Z"
    EXEMPT = "E"
    REVERSE_CHARGE = "AE"
    INTRA_COMMUNITY = "K"
    EXPORT = "G"
    OUTSIDE_SCOPE = "O"


class InvalidLine(ValueError):
    """A line that cannot be on a paper: a negative price, a rate that does not fit its category, a fraction of a cent."""


class InvalidAdjustment(ValueError):
    """A discount or surcharge without reason, below zero, or not what its percentage makes."""


class InvalidTotals(ValueError):
    """Totals that do not follow from their lines. ``rule`` names the rule of EN 16931 that is broken."""

    def __init__(self, rule: str, sentence: str) -> None:
        self.rule = rule
        super().__init__(f"{sentence} ({rule})")


def check_rate(category: Category, rate: Decimal) -> None:
    """Raise InvalidLine unless the rate fits: above 0 for standard (BR-S-05), 0 for every other category (BR-E-05 and kin)."""
    if category == Category.STANDARD and rate <= 0:
        raise InvalidLine("A line with VAT needs a rate above 0%. For work without VAT choose the reason why.")
    if category != Category.STANDARD and rate != 0:
        raise InvalidLine(f"A line of category {category} has no VAT, so its rate is 0%.")


@dataclass(frozen=True, slots=True)
class Adjustment:
    """A discount or surcharge (BG-27, BG-28 on a line; BG-20, BG-21 on the whole): an amount of 0 or more with its reason.

    With ``percent`` and ``base`` the amount must be what they make, to the cent (PEPPOL-EN16931-R040).
    """

    amount: Decimal
    reason: str
    percent: Decimal | None = None
    base: Decimal | None = None

    def __post_init__(self) -> None:
        if self.amount < 0 or round_money(self.amount) != self.amount:
            raise InvalidAdjustment("A discount or surcharge is an amount of 0 or more in whole cents.")
        if not self.reason.strip():
            raise InvalidAdjustment("Say why there is a discount or surcharge: the paper must name the reason.")
        if (self.percent is None) != (self.base is None):
            raise InvalidAdjustment("A percentage needs the sum it is taken of, and the sum its percentage.")
        if (
            self.percent is not None
            and self.base is not None
            and round_money(self.base * self.percent / 100) != self.amount
        ):
            raise InvalidAdjustment(f"{self.percent}% of {self.base} is not {self.amount}.")


def percentage(percent: Decimal, base: Decimal, reason: str) -> Adjustment:
    """An adjustment of ``percent`` per cent of ``base``, rounded once."""
    return Adjustment(round_money(base * percent / 100), reason, percent, base)


@dataclass(frozen=True, slots=True)
class WholeAdjustment:
    """A discount or surcharge on the whole paper, within one VAT category and rate (BT-95, BT-96; BT-102, BT-103)."""

    adjustment: Adjustment
    category: Category
    rate: Decimal

    def __post_init__(self) -> None:
        check_rate(self.category, self.rate)


@dataclass(frozen=True, slots=True)
class Line:
    """One line: quantity (BT-129) times price (BT-146) for ``price_base`` units (BT-149), less discounts, plus surcharges."""

    quantity: Decimal
    unit_price: Decimal
    category: Category
    rate: Decimal
    price_base: Decimal = ONE
    allowances: tuple[Adjustment, ...] = ()
    charges: tuple[Adjustment, ...] = ()

    def __post_init__(self) -> None:
        if self.unit_price < 0:
            raise InvalidLine("A price is 0 or more. To take something off, use a discount or a negative quantity.")
        if self.price_base <= 0:
            raise InvalidLine("A price is for more than 0 units.")
        check_rate(self.category, self.rate)

    @property
    def net(self) -> Decimal:
        """BT-131: the product rounded once, plus surcharges, less discounts (PEPPOL-EN16931-R120)."""
        product = round_money(self.quantity * self.unit_price / self.price_base)
        return product + _amounts(self.charges) - _amounts(self.allowances)


@dataclass(frozen=True, slots=True)
class TaxGroup:
    """What is taxed in one category at one rate (BG-23). Refuses a tax that is a cent off (BR-S-09 without its tolerance)."""

    category: Category
    rate: Decimal
    base: Decimal
    tax: Decimal

    def __post_init__(self) -> None:
        check_rate(self.category, self.rate)
        if round_money(self.base) != self.base:
            raise InvalidTotals("BR-DEC-19", f"{self.base} has a fraction of a cent.")
        if self.tax != round_money(self.base * self.rate / 100):
            raise InvalidTotals("BR-CO-17", f"{self.rate}% of {self.base} is not {self.tax}.")

    @property
    def gross(self) -> Decimal:
        return self.base + self.tax


def tax_group(category: Category, rate: Decimal, base: Decimal) -> TaxGroup:
    """The group of a base (BT-116) with its tax (BT-117), rounded once."""
    return TaxGroup(category, rate, base, round_money(base * rate / 100))


@dataclass(frozen=True, slots=True)
class Totals:
    """The totals of a paper (BG-22, BG-23). Refuses to be inconsistent at birth."""

    line_total: Decimal
    allowance_total: Decimal
    charge_total: Decimal
    net: Decimal
    groups: tuple[TaxGroup, ...]
    tax: Decimal
    gross: Decimal
    prepaid: Decimal = ZERO
    rounding: Decimal = ZERO
    due: Decimal = ZERO

    def __post_init__(self) -> None:
        for name in (
            "line_total",
            "allowance_total",
            "charge_total",
            "net",
            "tax",
            "gross",
            "prepaid",
            "rounding",
            "due",
        ):
            if round_money(getattr(self, name)) != getattr(self, name):
                raise InvalidTotals("BR-DEC", f"{getattr(self, name)} has a fraction of a cent.")
        _hold("BR-CO-13", self.net, self.line_total - self.allowance_total + self.charge_total, "The net sum")
        _hold("BR-CO-14", self.tax, sum((group.tax for group in self.groups), ZERO), "The VAT")
        _hold("BR-CO-15", self.gross, self.net + self.tax, "The gross sum")
        _hold("BR-CO-16", self.due, self.gross - self.prepaid + self.rounding, "The sum to pay")
        _hold("BR-S-08", sum((group.base for group in self.groups), ZERO), self.net, "The sum of the taxed amounts")
        keys = [(group.category, group.rate) for group in self.groups]
        if len(set(keys)) != len(keys):
            raise InvalidTotals("BR-CO-18", "A category and rate of VAT stands in one group only.")
        if Category.OUTSIDE_SCOPE in {category for category, _ in keys} and len(keys) > 1:
            raise InvalidTotals(
                "BR-O-11",
                "Work outside the scope of VAT cannot share a paper with taxed or exempt work. Make two papers.",
            )


def totals(
    lines: Sequence[Line],
    *,
    allowances: Sequence[WholeAdjustment] = (),
    charges: Sequence[WholeAdjustment] = (),
    prepaid: Decimal = ZERO,
    rounding: Decimal = ZERO,
) -> Totals:
    """The totals of a paper with these lines. ``prepaid`` is the gross already paid (BT-113), ``rounding`` for cash only (BT-114).

    Raises InvalidTotals when there is no line (BR-16) or categories are mixed that may not be.
    """
    if not lines:
        raise InvalidTotals("BR-16", "A paper with totals has one line or more.")
    bases: dict[tuple[Category, Decimal], Decimal] = {}
    for line in lines:
        _add(bases, line.category, line.rate, line.net)
    for allowance in allowances:
        _add(bases, allowance.category, allowance.rate, -allowance.adjustment.amount)
    for charge in charges:
        _add(bases, charge.category, charge.rate, charge.adjustment.amount)
    groups = tuple(
        tax_group(category, rate, bases[category, rate]) for category, rate in sorted(bases, key=_group_order)
    )
    line_total = sum((line.net for line in lines), ZERO)
    allowance_total = _amounts(each.adjustment for each in allowances)
    charge_total = _amounts(each.adjustment for each in charges)
    net = line_total - allowance_total + charge_total
    tax = sum((group.tax for group in groups), ZERO)
    gross = net + tax
    return Totals(
        line_total,
        allowance_total,
        charge_total,
        net,
        groups,
        tax,
        gross,
        prepaid,
        rounding,
        gross - prepaid + rounding,
    )


def deposit_groups(groups: Iterable[TaxGroup], percent: Decimal) -> tuple[TaxGroup, ...]:
    """A deposit of ``percent`` per cent, split per category and rate: each base cut and rounded, its tax taken of that base."""
    return tuple(tax_group(group.category, group.rate, round_money(group.base * percent / 100)) for group in groups)


@dataclass(frozen=True, slots=True)
class Remainder:
    """What is left of a VAT group after deposits: by difference, so base and tax add up to the whole job's."""

    category: Category
    rate: Decimal
    base: Decimal
    tax: Decimal

    @property
    def gross(self) -> Decimal:
        return self.base + self.tax


def after_deposits(whole: Iterable[TaxGroup], deposits: Iterable[TaxGroup]) -> tuple[Remainder, ...]:
    """Per category and rate the whole less what deposit invoices have taxed already (common practice, no source).

    A rate that only a deposit had is left as a negative remainder.
    """
    left: dict[tuple[Category, Decimal], tuple[Decimal, Decimal]] = {}
    for sign, groups in ((1, whole), (-1, deposits)):
        for group in groups:
            base, tax = left.get((group.category, group.rate), (ZERO, ZERO))
            left[group.category, group.rate] = (base + sign * group.base, tax + sign * group.tax)
    return tuple(Remainder(*key, *left[key]) for key in sorted(left, key=_group_order))


def _add(bases: dict[tuple[Category, Decimal], Decimal], category: Category, rate: Decimal, amount: Decimal) -> None:
    bases[category, rate] = bases.get((category, rate), ZERO) + amount


def _amounts(adjustments: Iterable[Adjustment]) -> Decimal:
    return sum((each.amount for each in adjustments), ZERO)


def _group_order(key: tuple[Category, Decimal]) -> tuple[int, Decimal]:
    category, rate = key
    return list(Category).index(category), -rate


def _hold(rule: str, said: Decimal, reckoned: Decimal, what: str) -> None:
    if said != reckoned:
        raise InvalidTotals(rule, f"{what} is given as {said} but comes to {reckoned}.")
