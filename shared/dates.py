"""Calendar arithmetic: terms of months, last days, working days, payment days. Dates in, dates out; no clock."""

import calendar
import re
from collections.abc import Container
from datetime import date, timedelta
from enum import StrEnum
from fractions import Fraction

NO_HOLIDAYS: frozenset[date] = frozenset()


class InvalidTerm(ValueError):
    """A term of a negative number of months, or one that ends before it begins."""


class InvalidMonth(ValueError):
    """Not a month of a year as 2026-10."""


def add_months(day: date, months: int) -> date:
    """The same day number ``months`` later; where that month lacks it, the first of the following month.

    31 Jan + 1 is 1 Mar, so the last day of such a term is 28 Feb. Always count from the first day of a term, never from
    a day this function gave: 31 Jan + 1 + 1 is not 31 Jan + 2. Project decision, common practice, no source.
    """
    if months < 0:
        raise InvalidTerm("A term has 0 months or more.")
    month = day.month - 1 + months
    year, month = day.year + month // 12, month % 12 + 1
    if day.day <= calendar.monthrange(year, month)[1]:
        return date(year, month, day.day)
    return date(year, month, calendar.monthrange(year, month)[1]) + timedelta(days=1)


def no_use_from(first: date, months: int | None) -> date | None:
    """The first day after a term of ``months`` that begins on ``first``; None is for ever."""
    return None if months is None else add_months(first, months)


def last_day_of_term(first: date, months: int) -> date:
    """The last day, inclusive, of a term of ``months`` (1 or more) that begins on ``first``: 15 Mar 2026 + 12 is 14 Mar 2027."""
    if months < 1:
        raise InvalidTerm("A term with a last day has one month or more.")
    return add_months(first, months) - timedelta(days=1)


def months_between(first: date, until: date) -> Fraction:
    """Months of the half-open term [first, until): whole months from the first day, plus days left over days of that next month.

    1 Mar to 11 Mar is 10/31; 31 Jan to 1 Mar is 1. Raises InvalidTerm when until is before first.
    """
    if until < first:
        raise InvalidTerm("A term ends on or after its first day.")
    whole = max(0, (until.year - first.year) * 12 + until.month - first.month - 1)
    while add_months(first, whole + 1) <= until:
        whole += 1
    start = add_months(first, whole)
    return whole + Fraction((until - start).days, (add_months(first, whole + 1) - start).days)


def day_count(first: date, last: date) -> int:
    """Days from ``first`` to ``last``, both counted; 0 or less when last is before first."""
    return (last - first).days + 1


def days_late(due: date, on: date) -> int:
    """Days after the due day; 0 on it and before it."""
    return max(0, (on - due).days)


def is_working_day(day: date, holidays: Container[date] = NO_HOLIDAYS) -> bool:
    """Monday to Friday, and not one of the holidays handed in."""
    return day.weekday() < 5 and day not in holidays


def working_days_before(event: date, notice: date, holidays: Container[date] = NO_HOLIDAYS) -> int:
    """How many working days before ``event`` a notice given on ``notice`` is.

    Working days from the day of notice on, up to but not with the event's day: for Friday 18 Dec 2026, Friday 11 Dec
    is 5 working days before, Monday 14 Dec is 4. On the day and after it: 0.
    """
    return sum(is_working_day(notice + timedelta(days=each), holidays) for each in range((event - notice).days))


def working_day_before(event: date, count: int, holidays: Container[date] = NO_HOLIDAYS) -> date:
    """The last day on which a notice is still ``count`` working days before ``event``."""
    day = event
    while count > 0:
        day -= timedelta(days=1)
        count -= is_working_day(day, holidays)
    return day


def parse_month(text: str) -> date:
    """The first day of a month written 2026-10. Raises InvalidMonth with what to write instead."""
    found = re.fullmatch(r"(\d{4})-(\d{2})", text.strip())
    if not found or not 1 <= int(found[2]) <= 12 or int(found[1]) < 1:
        raise InvalidMonth(f"“{text}” is not a month. Write the year and the month, for example 2026-10.")
    return date(int(found[1]), int(found[2]), 1)


def month_bounds(day: date) -> tuple[date, date]:
    """The first day of the month of ``day`` and the first day of the next: half-open."""
    first = day.replace(day=1)
    return first, add_months(first, 1)


def last_of_month(day: date) -> date:
    """The last day of the month of ``day``."""
    return day.replace(day=calendar.monthrange(day.year, day.month)[1])


class PaymentReading(StrEnum):
    """What "30 days" counts from. "30 EOM" has three readings, so the reading is kept with the term."""

    DAYS = "days"
    DAYS_THEN_MONTH_END = "days_then_month_end"
    MONTH_END_THEN_DAYS = "month_end_then_days"
    END_OF_NEXT_MONTH = "end_of_next_month"


def payment_due(issued: date, days: int, reading: PaymentReading = PaymentReading.DAYS) -> date:
    """The day a paper issued on ``issued`` is due, by the reading agreed."""
    match reading:
        case PaymentReading.DAYS:
            return issued + timedelta(days=days)
        case PaymentReading.DAYS_THEN_MONTH_END:
            return last_of_month(issued + timedelta(days=days))
        case PaymentReading.MONTH_END_THEN_DAYS:
            return last_of_month(issued) + timedelta(days=days)
        case PaymentReading.END_OF_NEXT_MONTH:
            return last_of_month(add_months(issued.replace(day=1), 1))
