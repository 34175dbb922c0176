"""A licence as boxes of numbers, for the derived table: one row a class, run of media and run of territories."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from shoots.licences.grants import Grant
from shoots.uses.days import is_before, runs_meet
from shoots.uses.intended import CLASS_BITS
from shoots.uses.shipped import IN_FORCE
from shoots.uses.trees import Trees


@dataclass(frozen=True, slots=True, order=True)
class Box:
    """Numbers half-open; `day_until = None` is for ever."""

    class_bit: int
    medium_lo: int
    medium_hi: int
    territory_lo: int
    territory_hi: int
    day_from: date
    day_until: date | None


def boxes_of(grant: Grant, trees: Trees = IN_FORCE) -> tuple[Box, ...]:
    """The days on which the licence stands, from its first day to its end, as boxes; adjacent runs of numbers are merged.

    Empty only for an unplaced licence and for one cut before its first day.
    """
    if not grant.is_placed or not is_before(grant.use_from, grant.until):
        return ()
    return tuple(
        Box(CLASS_BITS[name], medium_lo, medium_hi, territory_lo, territory_hi, grant.use_from, grant.until)
        for name in sorted(grant.classes, key=CLASS_BITS.__getitem__)
        for medium_lo, medium_hi in trees.media.intervals(grant.media)
        for territory_lo, territory_hi in trees.territories.intervals(grant.territories)
    )


def boxes_meet(one: Box, other: Box) -> bool:
    """True when two boxes share a cell."""
    return (
        one.class_bit == other.class_bit
        and one.medium_lo < other.medium_hi
        and other.medium_lo < one.medium_hi
        and one.territory_lo < other.territory_hi
        and other.territory_lo < one.territory_hi
        and runs_meet(one.day_from, one.day_until, other.day_from, other.day_until)
    )
