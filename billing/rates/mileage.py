"""What own travel counts for in the books: dated rates, some with a lower rate past a yearly distance.

The rate follows the day of the journey, the band the distance so far in that tax year. What a client pays per kilometre is another
matter and stands on the estimate. These are tax allowances of one country or another: rows the studio edits, not advice.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from shared.money import ZERO, round_money

CALENDAR_YEAR = (1, 1)
BRITISH_TAX_YEAR = (4, 6)


class NoMileageRate(ValueError):
    """No rate is set for the day of a journey."""

    def __init__(self, day: date) -> None:
        self.day = day
        super().__init__(f"No mileage rate is set for {day:%Y-%m-%d}. Enter the rate and the day it began.")


class InvalidMileage(ValueError):
    """A rate or a distance that cannot be."""


@dataclass(frozen=True, slots=True)
class MileageRow:
    """From a day on: ``rate`` for each unit up to ``threshold`` in a tax year, ``rate_above`` past it. No threshold: one rate."""

    valid_from: date
    rate: Decimal
    threshold: Decimal | None = None
    rate_above: Decimal | None = None

    def __post_init__(self) -> None:
        if self.rate < 0 or (self.rate_above is not None and self.rate_above < 0):
            raise InvalidMileage("Enter a rate of 0 or more.")
        if (self.threshold is None) != (self.rate_above is None):
            raise InvalidMileage("A yearly distance needs the rate past it, and that rate needs the distance.")


@dataclass(frozen=True, slots=True)
class Leg:
    """A journey: its day and its distance."""

    on: date
    distance: Decimal


def rate_on(rows: Sequence[MileageRow], day: date) -> MileageRow:
    """The newest row not after ``day``. Raises NoMileageRate with what to do."""
    past = [row for row in rows if row.valid_from <= day]
    if not past:
        raise NoMileageRate(day)
    return max(past, key=lambda row: row.valid_from)


def tax_year_start(day: date, begins: tuple[int, int] = CALENDAR_YEAR) -> date:
    """The first day of the tax year that ``day`` is in; ``begins`` is (month, day), 6 April in the United Kingdom."""
    start = date(day.year, *begins)
    return start if start <= day else date(day.year - 1, *begins)


def allowance(row: MileageRow, distance: Decimal, before: Decimal = ZERO) -> Decimal:
    """What a journey counts for when ``before`` was already travelled in the tax year: the lower band first, rounded once."""
    if distance < 0 or before < 0:
        raise InvalidMileage("Enter a distance of 0 or more.")
    if row.threshold is None or row.rate_above is None:
        return round_money(distance * row.rate)
    low = min(distance, max(ZERO, row.threshold - before))
    return round_money(low * row.rate + (distance - low) * row.rate_above)


def allowances(
    legs: Sequence[Leg], rows: Sequence[MileageRow], begins: tuple[int, int] = CALENDAR_YEAR
) -> tuple[Decimal, ...]:
    """What each journey counts for, in the order given; the band is filled in the order of days, a day's in the order given."""
    travelled: dict[date, Decimal] = {}
    found = [ZERO] * len(legs)
    for index in sorted(range(len(legs)), key=lambda each: legs[each].on):
        leg = legs[index]
        year = tax_year_start(leg.on, begins)
        found[index] = allowance(rate_on(rows, leg.on), leg.distance, travelled.get(year, ZERO))
        travelled[year] = travelled.get(year, ZERO) + leg.distance
    return tuple(found)
