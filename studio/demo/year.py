"""The days of the demo's year, counted from the day it is loaded, so that there is always a shoot ahead and an invoice late.

An offset is a number of days from that day, below 0 in the past. Work falls on weekdays: a day of the past moves back to Friday, a day
to come on to Monday. The winter menu alone stays where it is: two days ahead, as a cook with a closed restaurant wants it.
"""

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

ZONE = ZoneInfo("Europe/Berlin")
OLDEST = -385  # the first day anything of the demo happens, with room before the first shoot
SATURDAY = 5


def begins_on(on: date) -> date:
    """The first day of the business profile and the rates: the first of January before the demo's year."""
    return date((on + timedelta(days=OLDEST)).year, 1, 1)


def exact_day(on: date, offset: int) -> date:
    """The day itself, be it a Sunday."""
    return on + timedelta(days=offset)


def work_day(on: date, offset: int) -> date:
    """The weekday of an offset, never nearer to ``on`` than asked for; offset 0 is ``on`` itself."""
    day = on + timedelta(days=offset)
    over = day.weekday() - SATURDAY  # 0 on Saturday, 1 on Sunday
    if over < 0 or offset == 0:
        return day
    return day - timedelta(days=over + 1) if offset < 0 else day + timedelta(days=2 - over)


def moment(day: date, clock: str) -> datetime:
    """A wall clock in the studio's zone, ``09:30``, as an aware moment in UTC."""
    return datetime.combine(day, time.fromisoformat(clock), ZONE).astimezone(UTC)
