"""The states of a licence: which moves are allowed, which states cover a use, which block others.

*Ended* is no state: it follows from the dates. Draft rows may also be deleted.
"""

from __future__ import annotations

from datetime import date, timedelta
from enum import StrEnum


class State(StrEnum):
    """Where a licence stands."""

    DRAFT = "draft"
    OFFERED = "offered"
    ACCEPTED = "accepted"
    PAID = "paid"
    DECLINED = "declined"
    REFUNDED = "refunded"
    REVOKED = "revoked"
    SUPERSEDED = "superseded"


LICENCE_MOVES: dict[str, frozenset[str]] = {
    "draft": frozenset({"offered"}),
    "offered": frozenset({"accepted", "declined"}),
    "accepted": frozenset({"paid", "declined", "superseded"}),
    "paid": frozenset({"refunded", "revoked", "superseded"}),
    "declined": frozenset(),
    "refunded": frozenset(),
    "revoked": frozenset(),
    "superseded": frozenset(),
}

BLOCKING = frozenset({State.ACCEPTED, State.PAID, State.REVOKED, State.SUPERSEDED})
"""Revoked and superseded licences block, and cover, until their `cut_on` day."""


def may_become(state: str, wanted: str) -> bool:
    """True when a licence may move from `state` to `wanted`."""
    return wanted in LICENCE_MOVES[state]


def is_blocking(state: str) -> bool:
    """True when a licence in this state keeps others out, as far as its days reach."""
    return state in BLOCKING


def acts_as(state: State, left: State) -> State:
    """The state whose rights a licence has up to its end: a revoked one was paid; a superseded one keeps what it left."""
    if state is State.SUPERSEDED:
        return left
    return State.PAID if state is State.REVOKED else state


def uncovered_days(old_until: date | None, new_from: date) -> int:
    """Days between the end of a licence and the first day of its renewal on which nothing is covered; 0 when they join."""
    return 0 if old_until is None else max(0, (new_from - old_until).days)


def lapse_day(due: date, days: int) -> date:
    """The first day an unpaid licence covers no more, `days` after the due day: due 15 Dec, 14 days, lapses on 30 Dec."""
    return due + timedelta(days=days + 1)
