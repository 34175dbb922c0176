"""What a year costs and what a day must bring in to live on, line by line.

Every line is rounded once to the cent, the total adds the lines as shown, each rate is rounded once from the total. Days:
365 or 366 less weekends, public holidays, leave, sick days and work nobody pays. Straight line by whole months, the month of
purchase counting; tax put aside as a share of what is taken home; half day and hour as shares of the day: common practice, no
source. The day itself is ``cost_of_business.break_even_day``. None of this is tax advice.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import ROUND_CEILING, Decimal
from enum import StrEnum
from fractions import Fraction

from billing.costs.cost_of_business import InvalidYear, YearOfWork, break_even_day, days_to_break_even
from shared.money import ZERO, round_exact, round_money

MONTHS = 12
SATURDAY = 5
HUNDRED = Decimal(100)
LONGEST_LIFE = 50


class CostKind(StrEnum):
    """What a yearly cost is for. ``KIT`` is bought once and spread over years."""

    KIT = "kit"
    INSURANCE = "insurance"
    SOFTWARE = "software"
    RENT = "rent"
    CAR = "car"
    PENSION = "pension"
    OTHER = "other"


@dataclass(frozen=True, slots=True)
class Cost:
    """A cost: ``price`` is a year's, for kit what it cost; kit is used up evenly over ``years`` from the month it was bought."""

    kind: CostKind
    what: str
    price: Decimal
    years: int = 1
    bought_on: date | None = None

    def __post_init__(self) -> None:
        if self.price < 0:
            raise InvalidYear("Enter a cost of 0 or more.")
        if self.kind == CostKind.KIT and (self.bought_on is None or not 1 <= self.years <= LONGEST_LIFE):
            raise InvalidYear(f"Kit needs the day it was bought and 1 to {LONGEST_LIFE} years of use.")


@dataclass(frozen=True, slots=True)
class Days:
    """The days of a year that are not worked for paying clients. ``typed``: the photographer's own count of days left, instead."""

    weekends: Decimal
    holidays: Decimal = ZERO
    leave: Decimal = ZERO
    sick: Decimal = ZERO
    unpaid: Decimal = ZERO
    typed: Decimal | None = None


@dataclass(frozen=True, slots=True)
class SumLine:
    """A line as shown: what it is, how it came about, and its sum to the cent."""

    what: str
    working: str
    sum: Decimal


@dataclass(frozen=True, slots=True)
class Living:
    """A year reckoned: the lines whose sums are ``total``, the days, and what a day, half day and hour must bring in."""

    lines: tuple[SumLine, ...]
    costs: Decimal
    total: Decimal
    days: Decimal
    day: Decimal
    half_day: Decimal
    hour: Decimal


def days_in(year: int) -> int:
    """365, or 366 in a leap year."""
    return (date(year + 1, 1, 1) - date(year, 1, 1)).days


def weekend_days(year: int) -> int:
    """How many Saturdays and Sundays a year has: 104 to 106."""
    first = date(year, 1, 1)
    return sum((first + timedelta(days=each)).weekday() >= SATURDAY for each in range(days_in(year)))


def days_left(year: int, days: Days) -> Decimal:
    """Days of the year less those not worked for clients, whatever was typed; may be 0 or less."""
    return days_in(year) - days.weekends - days.holidays - days.leave - days.sick - days.unpaid


def shootable_days(year: int, days: Days) -> Decimal:
    """The days that must carry the year. Raises InvalidYear for none, for more than the year has, and for a negative count."""
    counts = (days.weekends, days.holidays, days.leave, days.sick, days.unpaid)
    if any(each < 0 for each in counts):
        raise InvalidYear("Enter days of 0 or more.")
    left = days_left(year, days) if days.typed is None else days.typed
    if left <= 0:
        raise InvalidYear("No day is left to work for clients. Lower one of the counts of days.")
    if left > days_in(year):
        raise InvalidYear(f"{year} has {days_in(year)} days. Enter fewer days for clients.")
    return left


def months_used(cost: Cost, year: int) -> int:
    """How many months of the year a piece of kit is in use: from the month it was bought, for ``years`` years."""
    if cost.bought_on is None:
        return MONTHS
    first = cost.bought_on.year * MONTHS + cost.bought_on.month - 1
    start = year * MONTHS
    return max(0, min(first + cost.years * MONTHS, start + MONTHS) - max(first, start))


def share_of_year(cost: Cost, year: int) -> Fraction:
    """What a cost weighs in a year, exact: kit of 6,000 over 4 years bought on 1 July weighs 750 in its first year."""
    if cost.kind != CostKind.KIT:
        return Fraction(cost.price)
    return Fraction(cost.price) * months_used(cost, year) / (cost.years * MONTHS)


def reckon_year(
    year: int,
    costs: Sequence[Cost],
    days: Days,
    *,
    income: Decimal,
    tax_percent: Decimal = ZERO,
    profit_percent: Decimal = ZERO,
    half_day_percent: Decimal = Decimal(60),
    hours_in_day: Decimal = Decimal(8),
) -> Living:
    """The whole year, line by line. ``tax_percent`` is of ``income``, ``profit_percent`` of everything before it.

    Raises InvalidYear for days that cannot be, negative figures, a half day above the day, and hours outside a day.
    """
    if income < 0 or tax_percent < 0 or profit_percent < 0:
        raise InvalidYear("Enter costs, income, tax and profit of 0 or more.")
    if not 0 < half_day_percent <= HUNDRED or not 0 < hours_in_day <= 24:
        raise InvalidYear(
            "A half day is above 0 and at most 100 per cent of a day; a day has more than 0 and up to 24 hours."
        )
    left = shootable_days(year, days)
    lines = [SumLine(each.what, _working(each, year), round_exact(share_of_year(each, year))) for each in costs]
    overhead = sum((each.sum for each in lines), ZERO)
    lines.append(SumLine("To live on", "What you want to take home in the year", round_money(income)))
    if tax_percent:
        words = f"{plain(tax_percent)} % of what is taken home"
        lines.append(SumLine("Tax put aside", words, round_money(income * tax_percent / HUNDRED)))
    before = sum((each.sum for each in lines), ZERO)
    if profit_percent:
        words = f"{plain(profit_percent)} % of all the lines above"
        lines.append(SumLine("Profit", words, round_money(before * profit_percent / HUNDRED)))
    total = sum((each.sum for each in lines), ZERO)
    exact = Fraction(total) / Fraction(left)
    return Living(
        lines=tuple(lines),
        costs=overhead,
        total=total,
        days=left,
        day=break_even_day(YearOfWork(overhead, total - overhead, left)),
        half_day=round_exact(exact * Fraction(half_day_percent) / 100),
        hour=round_exact(exact / Fraction(hours_in_day)),
    )


def days_needed(living: Living, day_rate: Decimal) -> Decimal:
    """How many days at ``day_rate`` carry the year, to two decimals. Raises InvalidYear for a rate of 0 or less."""
    return days_to_break_even(YearOfWork(living.costs, living.total - living.costs, living.days), day_rate)


def days_working(year: int, days: Days) -> str:
    """How the days for clients come about: *365 − 104 weekend days − 25 leave*."""
    if days.typed is not None:
        return "As you count them"
    off = (
        (days.weekends, "weekend days"),
        (days.holidays, "public holidays"),
        (days.leave, "leave"),
        (days.sick, "sick days"),
        (days.unpaid, "work nobody pays"),
    )
    return " − ".join([f"{days_in(year)} days", *(f"{plain(count)} {words}" for count, words in off if count)])


def rounded_up(rate: Decimal, step: Decimal) -> Decimal:
    """``rate`` up to the next multiple of ``step``, so that a rounded rate still carries the year: 806.33 by 5 is 810."""
    if step <= 0:
        return rate
    return round_money((rate / step).to_integral_value(rounding=ROUND_CEILING) * step)


def _working(cost: Cost, year: int) -> str:
    if cost.kind != CostKind.KIT:
        return "A year"
    months = months_used(cost, year)
    if not months:
        return f"Bought {cost.bought_on:%b %Y} for {cost.price:,.2f}: not in use in {year}, or used up"
    return f"{cost.price:,.2f} ÷ {cost.years * MONTHS} months × {months} month{'' if months == 1 else 's'} in {year}"


def plain(number: Decimal) -> str:
    """A number without trailing zeros: *12.5*, *30*."""
    return f"{number.normalize():f}"
