"""One table and its light: the light there is at a moment, and where to stand for it as the day moves."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from math import atan2, degrees

from shoots.light.camera_side import SIDES, Light, Stand, at_clock, clock_position, stands
from shoots.light.sun import Span, SunDay, SunPosition, sun_position
from shoots.light.window import (
    Patch,
    Table,
    Window,
    WindowDay,
    is_on_glass,
    sun_patch,
    table_margin,
    window_day,
    without,
)

DAYLIGHT, OVERCAST, LAMP = "daylight", "overcast", "lamp"
SUN, SOFT, DUSK, DARK, LAMPLIGHT, UNKNOWN = "sun", "soft", "dusk", "dark", "lamp", "unknown"
SHORTEST = timedelta(minutes=5)
DRAWN_LIGHTS = (Light.BACK, Light.BACK_SIDE, Light.SIDE)


@dataclass(frozen=True, slots=True)
class Setting:
    """What the light is reckoned from. Without a ``window``, or with ``kind`` lamp, the light is the lamp's.

    ``lamp_hour`` and ``cook_hour`` are hours of the clock round the table, on a plan whose top (12) is the window wall. ``sun`` is the day,
    where the kitchen's position and the date are known.
    """

    kind: str
    window: Window | None
    table: Table
    lamp_hour: int
    cook_hour: int
    sun: SunDay | None

    @property
    def by_lamp(self) -> bool:
        return self.kind == LAMP or self.window is None

    @property
    def up(self) -> float:
        """The compass direction at the top of the plan; 0 where no window tells it."""
        return self.window.bearing if self.window else 0.0

    @property
    def window_from(self) -> float:
        """From the middle of the table towards the middle of the window."""
        away = self.table.distance + self.table.depth / 2
        return (self.up + degrees(atan2(-self.table.aside, away))) % 360

    @property
    def lamp_from(self) -> float:
        return at_clock(self.lamp_hour, self.up)

    @property
    def facing_of_cook(self) -> float:
        """Where the cook looks, across the table."""
        return at_clock(self.cook_hour, self.up + 180)


@dataclass(frozen=True, slots=True)
class LightNow:
    """The light at one moment. ``kind`` is sun (hard, on the table), soft, dusk, dark, lamp, or unknown where the day is not known.

    In the dark the light comes from the lamp.
    """

    kind: str
    light_from: float
    sun: SunPosition | None = None
    patch: Patch | None = None
    is_on_glass: bool = False


def light_at(setting: Setting, at: datetime | None) -> LightNow:
    """The light on the table at an aware moment; without one, or without the day, what can be said all the same."""
    sun = sun_position(setting.sun.place, at) if setting.sun and at else None
    if setting.window is None or setting.by_lamp:
        on_glass = setting.window is not None and sun is not None and is_on_glass(setting.window, sun)
        return LightNow(LAMPLIGHT, setting.lamp_from, sun, None, on_glass)
    if sun is None or setting.sun is None or at is None:
        return LightNow(SOFT if setting.kind == OVERCAST else UNKNOWN, setting.window_from)
    if not any(span.holds(at) for span in setting.sun.up):
        if any(span.holds(at) for span in setting.sun.twilight):
            return LightNow(DUSK, setting.window_from, sun)
        return LightNow(DARK, setting.lamp_from, sun)
    if setting.kind == OVERCAST or not is_on_glass(setting.window, sun):
        return LightNow(SOFT, setting.window_from, sun)
    patch = sun_patch(setting.window, setting.table.height, sun)
    if table_margin(setting.window, setting.table, sun) > 0:
        return LightNow(SUN, sun.azimuth, sun, patch, True)
    return LightNow(SOFT, setting.window_from, sun, patch, True)


def hours_of(setting: Setting) -> WindowDay | None:
    """The soft and hard hours, or nothing where the day or the window is not known. Under a closed sky all the day is soft.

    A stretch of less than five minutes is not told: nobody plans a picture in it, and trees and roofs decide it.
    """
    if setting.sun is None or setting.window is None:
        return None
    if setting.kind == OVERCAST:
        return WindowDay((), (), setting.sun.up)
    found = window_day(setting.window, setting.table, setting.sun)
    hard = _worth_telling(found.hard)
    return WindowDay(_worth_telling(found.on_glass), hard, _worth_telling(without(setting.sun.up, hard)))


def _worth_telling(spans: tuple[Span, ...]) -> tuple[Span, ...]:
    return tuple(each for each in spans if each.until_at - each.from_at >= SHORTEST)


@dataclass(frozen=True, slots=True)
class Stretch:
    """A stretch of the day with one light, and where the camera stands for back, back-side and side light in it. No span: at any time."""

    span: Span | None
    kind: str
    places: tuple[tuple[Light, tuple[Stand, ...]], ...]


def stretches(setting: Setting, hours: WindowDay | None) -> tuple[Stretch, ...]:
    """Which side of the table to stand on as the day moves: one line while the places stay the same.

    While the sun lies on the table it is the light, and it is looked at every quarter of an hour.
    """
    if setting.by_lamp or hours is None:
        now = light_at(setting, None)
        return (Stretch(None, now.kind, places_for(now.light_from, setting.up)),)
    found: list[Stretch] = []
    for span in sorted((*hours.soft, *hours.hard), key=lambda each: each.from_at):
        for part in _parts(span) if span in hours.hard else [span]:
            now = light_at(setting, part.from_at + (part.until_at - part.from_at) / 2)
            here = Stretch(part, now.kind, places_for(now.light_from, setting.up))
            if found and found[-1].kind == here.kind and _sides(found[-1]) == _sides(here):
                before = found.pop()
                here = Stretch(Span(before.span.from_at if before.span else part.from_at, part.until_at), here.kind, before.places)  # fmt: skip
            found.append(here)
    return tuple(found)


def places_for(light_from: float, up: float) -> tuple[tuple[Light, tuple[Stand, ...]], ...]:
    """The places for the lights food is mostly shot in."""
    return tuple((light, stands(light, light_from, up)) for light in DRAWN_LIGHTS)


def _sides(stretch: Stretch) -> list[set[str]]:
    return [{SIDES[stand.hour] for stand in choices} for _light, choices in stretch.places]


def _parts(span: Span) -> Iterator[Span]:
    begins = span.from_at
    while begins < span.until_at:
        ends = begins + timedelta(minutes=15)
        if span.until_at - ends < timedelta(minutes=10):  # a short rest belongs to the last quarter
            ends = span.until_at
        yield Span(begins, ends)
        begins = ends


def clock_for_cook(setting: Setting, light_from: float) -> int:
    """The light of an overhead shot as an hour of the clock, seen from the cook's side."""
    return clock_position(light_from, setting.facing_of_cook)


def three_moments(sun: SunDay) -> tuple[datetime, ...]:
    """Three moments that show a day: an hour after the light begins, when the sun is highest, an hour before it ends; closer on a short day.

    From twilight where the sun stays down, nothing in a night without any.
    """
    spans = sun.up or sun.twilight
    if not spans:
        return ()
    begins, ends = spans[0].from_at, spans[-1].until_at
    inside = min(timedelta(hours=1), (ends - begins) / 4)
    middle = sun.noon_at if begins + inside < sun.noon_at < ends - inside else begins + (ends - begins) / 2
    return tuple(_quarter(sun, at) for at in (begins + inside, middle, ends - inside))


def _quarter(sun: SunDay, at: datetime) -> datetime:
    return sun.after_midnight(round(sun.minute_of(at) / 15) * 15)
