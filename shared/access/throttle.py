"""How long somebody waits who signs in wrongly again and again. Moments in, a moment out."""

from collections.abc import Sequence
from datetime import datetime, timedelta

FREE_TRIES = 5
TRIES_OF_AN_ADDRESS = 30
WITHIN = timedelta(minutes=15)


def wait_until(failures: Sequence[datetime], *, at: datetime, free_tries: int = FREE_TRIES) -> datetime | None:
    """From when the next try is taken, or None when it is taken now.

    Whoever failed ``free_tries`` times within a quarter of an hour waits until the oldest of these is a quarter of an hour old.
    Common practice, no source.
    """
    recent = sorted(moment for moment in failures if at - WITHIN < moment <= at)
    return recent[-free_tries] + WITHIN if len(recent) >= free_tries else None


def minutes_to_wait(until: datetime, at: datetime) -> int:
    """Whole minutes, at least one, rounded up."""
    return max(1, -int((at - until) // timedelta(minutes=1)))
