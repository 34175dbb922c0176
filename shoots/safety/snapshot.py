"""The frozen values the kitchen's safety page is printed from. Typed words stay in the language they were typed in."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time

from shoots.plan.sheet_words import SheetWords


@dataclass(frozen=True, slots=True)
class SafetyDish:
    """A dish: the keys its recipe names (``us_only``: on the US list alone), those to ask for, what was told (keys, or as typed) and by whom, and its minutes as planned."""

    name: str
    contains: tuple[str, ...]
    ask: tuple[str, ...]
    told: tuple[str, ...]
    told_by: str
    untold: tuple[str, ...] = ()
    minutes: int | None = None
    limit: int = 0
    us_only: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class SafetySheet:
    """Everything the page for the kitchen says, in one language for its fixed words."""

    language: str
    shoot: str
    house: str
    day: date | None
    last_day: date | None
    from_time: time | None
    until_time: time | None
    place: str
    dishes: tuple[SafetyDish, ...]
    room: tuple[str, ...]
    hazards: tuple[tuple[str, tuple[str, ...]], ...]
    calls: tuple[str, ...]
    words: SheetWords
    photographer: str
    phone: str
    made_at: datetime
    identifier: str
    footer: tuple[str, ...] = ()
