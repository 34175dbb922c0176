"""Is there time for the list? By its planned times where they stand, else by the usual minutes. All minutes: common practice, no source.

The run of the day reckons exactly, with cook, oven and breaks; this is the first look, before it and without it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

FIRST_SET, STRIKE, BREAK, BREAK_EVERY = 45, 30, 30, 300
NEW_ANGLE, NEW_SET, HERO_SET_UP, TAKE, HERO_TAKE = 4, 10, 10, 2, 10
HERO, INGREDIENTS, AT_ONCE = "hero", "ingredients", ("grey card", "empty set", "safety", "safety above")


@dataclass(frozen=True, slots=True)
class ShotTime:
    """A shot still to be taken: its kind, whether it belongs to a dish, the minute of the day it is planned at (None: not yet)."""

    kind: str = ""
    has_dish: bool = True
    planned: int | None = None


@dataclass(frozen=True, slots=True)
class Hours:
    """From when until when the shoot is, in minutes of the day, and on how many days."""

    begins: int
    ends: int
    days: int = 1


def minutes_of(shot: ShotTime) -> int:
    """What a shot takes: the first hero its set-up and take, a grey card, an empty set or a safety frame a take, the ingredients and one of no dish a new set, any other a new angle."""
    if shot.kind == HERO:
        return HERO_SET_UP + HERO_TAKE
    if shot.kind in AT_ONCE:
        return TAKE
    return (NEW_ANGLE if shot.has_dish and shot.kind != INGREDIENTS else NEW_SET) + TAKE


def minutes_together(shots: Iterable[ShotTime]) -> int:
    """What shots take one after the other."""
    return sum(minutes_of(each) for each in shots)


def is_planned(shots: Iterable[ShotTime], hours: Hours) -> bool:
    """Do planned times say how long the list takes? On one day, as soon as one shot has its time."""
    return hours.days == 1 and any(each.planned is not None for each in shots)


def over_by(shots: Sequence[ShotTime], hours: Hours | None) -> int:
    """Minutes the shots still to be taken run over; 0 where they fit, or where the hours are not known.

    On one day with planned times: the last shot and the strike against the end. Otherwise each day's first set, break and strike and the usual
    minutes of all shots against the hours there are.
    """
    if hours is None or not shots or hours.ends <= hours.begins:
        return 0
    planned = [each.planned + minutes_of(each) for each in shots if each.planned is not None]
    if is_planned(shots, hours):
        unplanned = minutes_together(each for each in shots if each.planned is None)
        return max(max(planned) + unplanned + STRIKE - hours.ends, 0)
    length = hours.ends - hours.begins
    per_day = length - FIRST_SET - STRIKE - length // BREAK_EVERY * BREAK
    return max(minutes_together(shots) - max(per_day, 0) * hours.days, 0)
