"""The one worker of the house: does what is due, waits, and does it again, until it is told to stop."""

import logging
from collections.abc import Callable, Sequence
from datetime import datetime, timedelta
from threading import Event

from django.db import DatabaseError, close_old_connections
from django.utils import timezone

from shared.outbox.actions import work_once

PAUSE_SECONDS = 2.0
CHORES_EVERY = timedelta(hours=1)
log = logging.getLogger("plate_ledger.worker")


def work_until(
    stop: Event, *, chores: Sequence[Callable[[datetime], object]] = (), pause: float = PAUSE_SECONDS
) -> None:
    """Works until ``stop`` is set; a job at hand is finished first. ``chores`` run once an hour, each given the moment."""
    chores_due = timezone.now()
    while not stop.is_set():
        at, was_busy = timezone.now(), False
        try:
            close_old_connections()
            if at >= chores_due:
                chores_due = at + CHORES_EVERY
                for chore in chores:
                    chore(at)
            was_busy = work_once(at)
        except DatabaseError:
            log.exception("The database did not answer; the work waits and is tried again")
        if not was_busy:
            stop.wait(pause)


def work_off(most: int = 10_000) -> int:
    """Does everything that is due now and returns how many jobs that were."""
    done = 0
    while done < most and work_once(timezone.now()):
        done += 1
    return done
