"""The frozen values that the run of the day is printed from. Typed words stay in the language they were typed in."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time

from shoots.run.timeline import Timeline


@dataclass(frozen=True, slots=True)
class RunLine:
    """One line: when, what, of which dish, who and what it takes, how many minutes; ``is_pinned`` where its time was typed."""

    at: time
    until: time
    what: str
    dish: str
    who: str
    minutes: int
    is_pinned: bool = False
    kind: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class RunSheet:
    """Everything the run of the day says."""

    language: str
    shoot: str
    house: str
    day: date | None
    place: str
    call: time
    done: str
    done_by: str
    lines: tuple[RunLine, ...]
    day_before: tuple[tuple[str, str, int], ...]
    warnings: tuple[str, ...]
    timeline: Timeline
    photographer: str
    made_at: datetime
    identifier: str
    footer: tuple[str, ...] = ()
