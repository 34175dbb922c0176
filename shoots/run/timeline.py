"""The day as a drawing: who and what is taken when. Pure reckoning, minutes to the units of the drawing."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import time

from shoots.run.activities import NAMES
from shoots.run.day_plan import Day
from shoots.run.sentences import clock_of

WIDTH, LEFT, RIGHT, TOP, ROW, GAP = 1000, 104, 20, 26, 30, 6
TEXT_DOWN, TEXT_IN = 19, 4  # from the corner of a bar to its words
LETTER = 6.4  # units that a letter of a bar takes, about


@dataclass(frozen=True, slots=True)
class Bar:
    """A block of an activity in a lane: its place, its look (kind), a short name where there is room, and its full words.

    ``key`` and ``start`` are of the whole activity, whose block may begin later; ``clock`` is when it begins.
    """

    x: float
    y: int
    width: float
    height: int
    kind: str
    short: str
    words: str
    key: str = ""
    start: int = 0
    clock: str = ""

    @property
    def text_x(self) -> float:
        return round(self.x + TEXT_IN, 1)

    @property
    def text_y(self) -> int:
        return self.y + TEXT_DOWN


@dataclass(frozen=True, slots=True)
class Lane:
    """One line of the drawing: a person or a thing, with its bars and the stretches when it is closed."""

    name: str
    y: int
    height: int
    bars: tuple[Bar, ...]
    closed: tuple[tuple[float, float], ...]

    @property
    def text_y(self) -> int:
        return self.y + TEXT_DOWN


@dataclass(frozen=True, slots=True)
class Timeline:
    """The drawing: lanes, and full hours with their places; ``scale`` is how many units a minute takes, ``call`` the call in minutes."""

    width: int
    height: int
    left: int
    lanes: tuple[Lane, ...]
    hours: tuple[tuple[float, str], ...]
    scale: float = 1.0
    call: int = 0


def draw(
    day: Day, starts: Mapping[str, int], names: Mapping[str, tuple[str, str, str]], call: time, *, until: int
) -> Timeline:
    """The drawing of a plan. ``names`` gives kind, short name and words by activity; ``until`` is the last minute to be seen at least."""
    last = max([until, 60, *(starts[each.id] + each.minutes for each in day.activities)])
    scale = (WIDTH - LEFT - RIGHT) / last
    lanes, y = [], TOP
    for name, resource in day.resources.items():
        blocks = sorted(
            (
                starts[each.id] + need.start,
                starts[each.id] + need.end,
                *names[each.id],
                each.id,
                starts[each.id],
                f"{clock_of(starts[each.id], call):%H:%M}",
            )
            for each in day.activities
            for need in each.needs
            if need.resource == name
        )
        if resource.amount is None:
            blocks = []  # only its closed times are worth a lane
        if not blocks and not resource.closed:
            continue
        bars, rows = _stacked(blocks, y, scale)
        height = rows * (ROW + 2) - 2
        closed = tuple(
            (round(LEFT + since * scale, 1), round((min(stop, last) - since) * scale, 1))
            for since, stop in resource.closed
            if since < last and since < stop
        )
        lanes.append(Lane(NAMES.get(name, name), y, height, bars, closed))
        y += height + GAP
    hours = _hours(call, last, scale)
    return Timeline(WIDTH, y, LEFT, tuple(lanes), hours, round(scale, 4), call.hour * 60 + call.minute)


Block = tuple[int, int, str, str, str, str, int, str]


def _stacked(blocks: Sequence[Block], y: int, scale: float) -> tuple[tuple[Bar, ...], int]:
    """Blocks that overlap go one below the other."""
    free_from: list[int] = []
    bars = []
    for since, stop, kind, name, words, key, start, clock in blocks:
        row = next((place for place, free in enumerate(free_from) if free <= since), len(free_from))
        free_from[row : row + 1] = [stop]
        width = max(1.0, round((stop - since) * scale - 1, 1))
        room = int((width - 6) / LETTER)
        short = name if len(name) <= room else name[: room - 1].rstrip() + "…" if room >= 5 else ""
        bars.append(
            Bar(round(LEFT + since * scale, 1), y + row * (ROW + 2), width, ROW, kind, short, words, key, start, clock)
        )
    return tuple(bars), max(1, len(free_from))


def _hours(call: time, last: int, scale: float) -> tuple[tuple[float, str], ...]:
    first = -call.minute % 60
    step = 60 if last <= 12 * 60 else 120
    return tuple(
        (round(LEFT + minute * scale, 1), f"{clock_of(minute, call):%H:%M}") for minute in range(first, last + 1, step)
    )
