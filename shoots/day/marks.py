"""What the marks of a day on set say: presses by wet fingers, tries left, which shot is next."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, time, timedelta

DOUBLE_PRESS = timedelta(milliseconds=700)
OPEN = ("planned", "repeat")
BIG_WORD, BIG_WORDS = 7, 2


@dataclass(frozen=True, slots=True)
class Line:
    """A shot as the screen counts it: its key and its state."""

    key: int
    state: str


def is_double_press(last_at: datetime | None, at: datetime) -> bool:
    """Did this press come less than 700 ms after the last one? Wet glass presses twice."""
    return last_at is not None and timedelta(0) <= at - last_at < DOUBLE_PRESS


def tries_left(tries: int | None, used: int) -> int | None:
    """How often a shot can still be had, never below none; None when nobody said how often it can."""
    return None if tries is None else max(tries - used, 0)


def next_open(lines: Sequence[Line], after: int | None = None) -> int | None:
    """The key of the first open shot after the one named, then from the top; None when every shot is done or skipped."""
    keys = [line.key for line in lines]
    start = keys.index(after) + 1 if after in keys else 0
    return next(
        (line.key for line in [*lines[start:], *lines[:start]] if line.state in OPEN and line.key != after), None
    ) or next((line.key for line in lines if line.state in OPEN), None)


def as_the_day_brings(planned: Sequence[tuple[int, time | None]]) -> list[int]:
    """The places of shots by day and time; one without a time stays behind the one it is listed behind."""
    keys, latest = [], (0, time.min)
    for day, at in planned:
        latest = latest if at is None else (day, at)
        keys.append(latest)
    return sorted(range(len(keys)), key=lambda place: keys[place])


def strokes(lines: Sequence[Line], now: int | None) -> tuple[str, ...]:
    """The progress bar: `d` done, `s` skipped, `n` on the table now, empty for what is to come."""
    marks = {"done": "d", "skipped": "s"}
    return tuple("n" if line.key == now else marks.get(line.state, "") for line in lines)


def cue_size(words: Sequence[str]) -> str:
    """How large cues can stand on a phone: `short` (words of 7 letters at most, two lines), `long`, or `many`."""
    if len(words) > BIG_WORDS:
        return "many"
    return "short" if all(len(part) <= BIG_WORD for word in words for part in word.split()) else "long"
