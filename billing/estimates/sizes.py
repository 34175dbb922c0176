"""A smaller and a larger way to do the job that was asked for: pictures, days on set and use, each reckoned from what was asked.

Smaller: half the pictures (up to the next whole one), the next shorter term. Larger: half as many pictures more, the next longer term, and the
regions round those asked for. Days on set follow the pictures, up to the next half day. All of it common practice, no source: the photographer
changes what does not fit.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from decimal import ROUND_CEILING, Decimal

TERMS: tuple[int | None, ...] = (3, 6, 12, 24, 36, 60, None)
"""Months of a term, from short to long; None is without end."""
HALF_DAY = Decimal("0.5")


@dataclass(frozen=True, slots=True)
class Size:
    """What an option's price hangs on. ``on_set``: days in halves; ``months``: None without end; ``places``: codes of regions."""

    pictures: int
    on_set: Decimal
    months: int | None
    places: frozenset[str]


def smaller(asked: Size, *, days_follow: bool = True) -> Size | None:
    """The next smaller size; None where nothing can be smaller. Without ``days_follow`` the days on set stay."""
    pictures = -(-asked.pictures // 2)
    shorter = [each for each in TERMS if _length(each) < _length(asked.months)]
    months = shorter[-1] if shorter else asked.months
    return _changed(asked, replace(asked, pictures=pictures, months=months), days_follow=days_follow)


def larger(asked: Size, *, wider: Callable[[str], str], days_follow: bool = True) -> Size | None:
    """The next larger size; None where nothing can be larger. ``wider``: the region round a region, itself where there is none."""
    pictures = asked.pictures + -(-asked.pictures // 2)
    longer = [each for each in TERMS if _length(each) > _length(asked.months)]
    months = longer[0] if longer else asked.months
    places = frozenset(wider(each) for each in asked.places)
    return _changed(asked, replace(asked, pictures=pictures, months=months, places=places), days_follow=days_follow)


def _changed(asked: Size, found: Size, *, days_follow: bool) -> Size | None:
    if days_follow and asked.pictures:
        halves = (asked.on_set * 2 * found.pictures / asked.pictures).to_integral_value(ROUND_CEILING)
        found = replace(found, on_set=max(HALF_DAY, halves * HALF_DAY))
    return found if found != asked else None


def _length(months: int | None) -> float:
    return float("inf") if months is None else months
