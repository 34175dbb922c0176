"""Half-open runs of days [first, until). `until = None` is for ever. Dates in, dates out; no clock."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from shared.dates import add_months


def earliest(*days: date | None) -> date | None:
    """The first of the days; None is for ever and so never the first of several."""
    known = [day for day in days if day is not None]
    return min(known) if known else None


def latest_until(one: date | None, other: date | None) -> date | None:
    """The later of two ends, where None is for ever."""
    return None if one is None or other is None else max(one, other)


def is_before(day: date, until: date | None) -> bool:
    """True when `day` lies before the end `until`."""
    return until is None or day < until


def is_after(one: date | None, other: date | None) -> bool:
    """True when the end `one` is later than the end `other`."""
    return other is not None and (one is None or one > other)


def runs_meet(first: date, until: date | None, other_first: date, other_until: date | None) -> bool:
    """True when the two runs share a day. An empty run shares none."""
    start = max(first, other_first)
    return is_before(start, until) and is_before(start, other_until)


def last_day(until: date) -> date:
    """The last day, inclusive, of a run that ends before `until`."""
    return until - timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Length:
    """How long a licence runs from whatever day it starts: so many months, else so many days, else for ever."""

    months: int | None = None
    days: int | None = None

    def until(self, first: date) -> date | None:
        """The first day after a run of this length from `first`. What would end after the year 9999 is for ever."""
        try:
            if self.months is not None:
                return add_months(first, self.months)
            return None if self.days is None else first + timedelta(days=self.days)
        except (OverflowError, ValueError):
            return None


def length_of(first: date, until: date | None) -> Length:
    """The length of a run: in whole months where it is so many, else in days."""
    if until is None:
        return Length()
    months = (until.year - first.year) * 12 + until.month - first.month
    for candidate in (months - 1, months):
        if candidate > 0 and add_months(first, candidate) == until:
            return Length(months=candidate)
    return Length(days=(until - first).days)
