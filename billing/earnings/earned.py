"""What shoots really earned a day: own work billed ÷ days worked, getting ready and finishing counted in.

Own work is what was invoiced before VAT without costs passed on, after any discount on the whole; a credited invoice counts for
nothing, a deposit inside the invoice that deducts it. A half day is half a day, hours are parts of a day of so many hours. The
method: common practice, no source.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction

from billing.estimates.pricing import LineKind
from billing.estimates.worked import days_of_line
from shared.money import ZERO, round_exact

PASSED_ON = frozenset(
    {LineKind.ASSISTANT, LineKind.STYLIST, LineKind.TRAVEL, LineKind.MILEAGE, LineKind.FOOD_AND_PROPS}
)
ON_SET = frozenset({LineKind.SHOOTING_DAY, LineKind.HALF_DAY, LineKind.OVERTIME})


@dataclass(frozen=True, slots=True)
class Billed:
    """An invoice: ``net`` after discounts, and its lines as sums before VAT, each with whether it is a cost passed on."""

    currency: str
    net: Decimal
    lines: tuple[tuple[Decimal, bool], ...]


@dataclass(frozen=True, slots=True)
class Worked:
    """Days on set, getting ready and finishing; ``source`` says where they come from: typed, estimate or calendar."""

    on_set: Fraction
    preparation: Fraction
    finishing: Fraction
    source: str

    @property
    def days(self) -> Fraction:
        return self.on_set + self.preparation + self.finishing


@dataclass(frozen=True, slots=True)
class Earned:
    """A shoot: own work billed in ``currency`` and what that is a day; ``per_day`` is None where it cannot be said."""

    key: int
    title: str
    on: date
    currency: str
    own: Decimal
    worked: Worked
    per_day: Decimal | None

    def below(self, living: Decimal, currency: str) -> Decimal | None:
        """How much a day lacks to the rate to live on; None where it reaches it or is in another currency."""
        if self.per_day is None or currency != self.currency or self.per_day >= living:
            return None
        return living - self.per_day


@dataclass(frozen=True, slots=True)
class YearEarned:
    """A year's shoots in one currency."""

    currency: str
    shoots: int
    own: Decimal
    days: Fraction
    per_day: Decimal


def own_work(bills: Iterable[Billed]) -> dict[str, Decimal]:
    """Own work by currency, rounded once; a discount on the whole is taken off in proportion."""
    exact: dict[str, Fraction] = {}
    for each in bills:
        whole = sum((net for net, _is_cost in each.lines), ZERO)
        own = sum((net for net, is_cost in each.lines if not is_cost), ZERO)
        part = Fraction(own) * Fraction(each.net) / Fraction(whole) if whole else Fraction(0)
        exact[each.currency] = exact.get(each.currency, Fraction(0)) + part
    return {currency: round_exact(value) for currency, value in exact.items()}


def worked_by_lines(lines: Iterable[tuple[str, Decimal, str]], hours_in_day: Decimal) -> Worked:
    """The days agreed lines stand for: kind, quantity and unit each. What has no unit of time counts nothing."""
    on_set = preparation = finishing = Fraction(0)
    for kind, quantity, unit in lines:
        days = days_of_line(kind, quantity, unit, hours_in_day)
        if kind in ON_SET:
            on_set += days
        elif kind == LineKind.PREPARATION:
            preparation += days
        elif kind == LineKind.FINISHING:
            finishing += days
    return Worked(on_set, preparation, finishing, "estimate")


def earned_of(key: int, title: str, on: date, bills: Sequence[Billed], worked: Worked) -> list[Earned]:
    """A shoot, once for each currency it was billed in; billed in two, no day is reckoned."""
    sums = own_work(bills)
    is_one = len(sums) == 1 and worked.days > 0
    return [
        Earned(key, title, on, currency, own, worked, round_exact(Fraction(own) / worked.days) if is_one else None)
        for currency, own in sorted(sums.items())
    ]


def years_of(rows: Iterable[Earned]) -> list[YearEarned]:
    """The shoots of a year together, each currency apart; what has no day is left out."""
    found: dict[str, list[Earned]] = {}
    for each in rows:
        if each.per_day is not None:
            found.setdefault(each.currency, []).append(each)
    years = []
    for currency, shoots in sorted(found.items()):
        own, days = sum((each.own for each in shoots), ZERO), sum((each.worked.days for each in shoots), Fraction(0))
        years.append(YearEarned(currency, len(shoots), own, days, round_exact(Fraction(own) / days)))
    return years


def days_shown(days: Fraction) -> Decimal:
    """Days to two decimals, for reading only."""
    return round_exact(days)
