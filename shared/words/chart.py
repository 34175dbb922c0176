"""A chart of terms: who holds a use from when to when. Pure reckoning: days to hundredths of a per cent of the width."""

from dataclasses import dataclass
from datetime import date, timedelta

KINDS = ("granted", "sole", "due", "past", "free", "clash")
BAR_HEIGHT = 44  # a bar may be a link, so it is as tall as a finger
GAP = 6


@dataclass(frozen=True, slots=True)
class Bar:
    """One stretch of time. ``last_on`` is inclusive; None has no end. ``words`` are read out; ``drawn``, if shorter, stands in the bar."""

    kind: str
    from_on: date
    last_on: date | None
    words: str
    url: str = ""
    drawn: str = ""

    def __post_init__(self) -> None:
        if self.kind not in KINDS:
            raise ValueError(f"a bar is one of {', '.join(KINDS)}, not {self.kind}")


@dataclass(frozen=True, slots=True)
class Lane:
    """One line of the chart: what is used, and its bars."""

    name: str
    detail: str
    bars: tuple[Bar, ...] = ()


@dataclass(frozen=True, slots=True)
class TermChart:
    """``months`` whole months from the month of ``first_on``. ``label`` says what the chart shows and that a table says the same."""

    label: str
    first_on: date
    today: date
    lanes: tuple[Lane, ...]
    months: int = 24

    @property
    def begins_on(self) -> date:
        return self.first_on.replace(day=1)

    @property
    def ends_before(self) -> date:
        return month_after(self.begins_on, self.months)


@dataclass(frozen=True, slots=True)
class PlacedBar:
    """A bar with its place: ``left`` and ``width`` in per cent of the track, ``top`` in px."""

    bar: Bar
    left: str
    width: str
    top: int


def month_after(first: date, months: int) -> date:
    """The first of the month ``months`` after the first of a month."""
    count = first.year * 12 + first.month - 1 + months
    return date(count // 12, count % 12 + 1, 1)


def place(chart: TermChart, day: date) -> float:
    """Where a day begins, in per cent of the width, kept within the chart."""
    whole = (chart.ends_before - chart.begins_on).days
    return min(100.0, max(0.0, (day - chart.begins_on).days * 100 / whole))


def placed_bars(chart: TermChart, lane: Lane) -> list[PlacedBar]:
    """The bars of a lane that the chart's months show; bars that overlap go one below the other."""
    rows: list[date] = []
    placed = []
    for bar in sorted(lane.bars, key=lambda each: each.from_on):
        until = chart.ends_before if bar.last_on is None else min(bar.last_on + timedelta(days=1), chart.ends_before)
        if until <= chart.begins_on or bar.from_on >= chart.ends_before or until <= bar.from_on:
            continue
        row = next((index for index, free_from in enumerate(rows) if free_from <= bar.from_on), len(rows))
        rows[row : row + 1] = [until]
        left = place(chart, bar.from_on)
        placed.append(
            PlacedBar(bar, f"{left:.2f}", f"{place(chart, until) - left:.2f}", GAP + row * (BAR_HEIGHT + GAP))
        )
    return placed


def track_height(placed: list[PlacedBar]) -> int:
    """Height of a lane in px."""
    return max((each.top for each in placed), default=GAP) + BAR_HEIGHT + GAP


def quarter_marks(chart: TermChart) -> list[tuple[date, str, bool]]:
    """Every third month with its place in per cent, and whether a year begins there or the chart does.

    The month after the chart's first is left out: two names would stand on each other.
    """
    firsts = [month_after(chart.begins_on, index) for index in range(chart.months)]
    return [
        (first, f"{place(chart, first):.2f}", first.month == 1 or first == chart.begins_on)
        for first in firsts
        if first == chart.begins_on or (first.month % 3 == 1 and first != month_after(chart.begins_on, 1))
    ]
