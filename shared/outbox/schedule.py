"""When failed work is tried again, and when it is parked for a person to see."""

from datetime import timedelta

MOST_TRIES = 6
# Longer than the longest job: a mail server may take its time, a fact's listeners print papers.
LEASE = timedelta(minutes=10)
_WAITS = (timedelta(minutes=1), timedelta(minutes=5), timedelta(minutes=30), timedelta(hours=2), timedelta(hours=8))


def wait_after(tries: int) -> timedelta | None:
    """How long to wait after the given number of failed tries; None when it is to be parked. Common practice, no source."""
    if tries < 1:
        raise ValueError("Waiting follows a failed try.")
    return None if tries >= MOST_TRIES else _WAITS[tries - 1]
