"""Sun on a window and on the table behind it: incidence, profile angle, patch, and the soft and hard hours of a day.

Degrees and metres. A window has the bearing its outside faces. The formulas are plain trigonometry of a sun ray; what counts as
soft and hard is common practice, no source: soft while the sun is up and no patch lies on the table, hard while one does.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from math import acos, atan, cos, degrees, radians, tan

from shoots.light.sun import Span, SunDay, SunPosition, spans_above, sun_position


class InvalidWindow(ValueError):
    """Measures that no window or table can have; the sentence says which."""


@dataclass(frozen=True, slots=True)
class Window:
    """Bearing of the outside in degrees; width, sill and head above the floor in metres.

    An overhang reaches ``overhang_depth`` out, ``overhang_above`` over the head. ``building_degrees`` is the height angle of what
    stands opposite, 0 for nothing: no sun comes over it.
    """

    bearing: float
    width: float
    sill: float
    head: float
    overhang_depth: float = 0.0
    overhang_above: float = 0.0
    building_degrees: float = 0.0

    def __post_init__(self) -> None:
        if not 0 <= self.bearing < 360:
            raise InvalidWindow(f"A bearing goes from 0 to 359 degrees, not {self.bearing:g}.")
        if not 0 <= self.sill < self.head:
            raise InvalidWindow(f"The head of a window is above its sill, not {self.head:g} m over {self.sill:g} m.")
        if self.width <= 0 or self.overhang_depth < 0 or self.overhang_above < 0:
            raise InvalidWindow("Width and overhang of a window are no less than nothing.")
        if not 0 <= self.building_degrees <= 90:
            raise InvalidWindow(f"A height angle goes from 0 to 90 degrees, not {self.building_degrees:g}.")


@dataclass(frozen=True, slots=True)
class Table:
    """Its top above the floor, its near edge from the window wall, how deep and wide it is, in metres. Centred on the window unless ``aside``.

    ``aside`` is how far its middle stands to the right of the window's, seen from the room looking out.
    """

    height: float
    distance: float
    depth: float
    width: float
    aside: float = 0.0

    def __post_init__(self) -> None:
        if self.height < 0 or self.distance < 0 or self.depth <= 0 or self.width <= 0:
            raise InvalidWindow("A table has a depth and a width, and stands in front of the wall.")


@dataclass(frozen=True, slots=True)
class Patch:
    """Where the sun lies at the height of the table: from ``near`` to ``far`` into the room, square to the wall, in metres.

    ``drift`` is how far it moves to the left, seen from the room looking out, for each metre into the room.
    """

    near: float
    far: float
    drift: float


def turn(angle: float) -> float:
    """The same angle from −180 up to, not including, 180: d180 of the formulas."""
    return (angle + 180) % 360 - 180


def beside(window: Window, sun: SunPosition) -> float:
    """How far the sun stands beside the window's bearing: −180 to 180, clockwise positive."""
    return turn(sun.azimuth - window.bearing)


def is_on_glass(window: Window, sun: SunPosition) -> bool:
    """The sun is up, in front of the wall, and over what stands opposite."""
    return glass_margin(window, sun) > 0


def glass_margin(window: Window, sun: SunPosition) -> float:
    """By how many degrees the sun is on the glass; none or less where it is not."""
    return min(sun.elevation - window.building_degrees, 90 - abs(beside(window, sun)))


def incidence(window: Window, sun: SunPosition) -> float:
    """Angle between the ray and the glass's normal: cos i = cos el × cos g."""
    return degrees(acos(cos(radians(sun.elevation)) * cos(radians(beside(window, sun)))))


def profile(window: Window, sun: SunPosition) -> float:
    """The sun's height in the plane square to the wall: tan p = tan el / cos g. Only for a sun on the glass."""
    return degrees(atan(tan(radians(sun.elevation)) / cos(radians(beside(window, sun)))))


def shaded(window: Window, sun: SunPosition) -> float:
    """Metres of glass, from the top, in the shade of the overhang: D tan p − e, none if negative."""
    if window.overhang_depth <= 0:
        return 0.0
    return max(0.0, window.overhang_depth * tan(radians(profile(window, sun))) - window.overhang_above)


def sun_patch(window: Window, table_height: float, sun: SunPosition) -> Patch | None:
    """The sun at the height of the table, or nothing: no sun on the glass, or all of it shaded or below the table top.

    From max(0, sill − table) / tan p to (head − table) / tan p into the room.
    """
    if not is_on_glass(window, sun):
        return None
    top, rise = window.head - shaded(window, sun), tan(radians(profile(window, sun)))
    if top <= max(window.sill, table_height):
        return None
    return Patch(
        max(0.0, window.sill - table_height) / rise, (top - table_height) / rise, tan(radians(beside(window, sun)))
    )


def table_margin(window: Window, table: Table, sun: SunPosition) -> float:
    """By how many metres the sun patch reaches over the table's edge; none or less where it does not touch it."""
    patch = sun_patch(window, table.height, sun)
    if patch is None:
        return -1.0
    near, far = max(patch.near, table.distance), min(patch.far, table.distance + table.depth)
    if near >= far:
        return -1.0
    # The patch drifts evenly, so it comes closest at an end, or where it passes the table's middle.
    drifts = [-patch.drift * deep - table.aside for deep in (near, far)]
    closest = 0.0 if drifts[0] * drifts[1] <= 0 else min(abs(drift) for drift in drifts)
    return min(far - near, (window.width + table.width) / 2 - closest)


@dataclass(frozen=True, slots=True)
class WindowDay:
    """When the sun is on the glass, when the light on the table is hard, and when it is soft."""

    on_glass: tuple[Span, ...]
    hard: tuple[Span, ...]
    soft: tuple[Span, ...]


def window_day(window: Window, table: Table, sun: SunDay) -> WindowDay:
    """The hours of one window on a day. A glance of the sun of less than five minutes may go unseen."""

    def when(margin: Callable[[SunPosition], float]) -> tuple[Span, ...]:
        def at_moment(at: datetime) -> float:
            return margin(sun_position(sun.place, at))

        return spans_above(sun.moments, at_moment, [margin(each) for each in sun.path])

    hard = when(lambda each: table_margin(window, table, each))
    return WindowDay(when(lambda each: glass_margin(window, each)), hard, without(sun.up, hard))


def without(whole: tuple[Span, ...], taken: tuple[Span, ...]) -> tuple[Span, ...]:
    """What is left of some spans when others are taken out. Both in order, neither overlapping itself."""
    left: list[Span] = []
    for span in whole:
        begins = span.from_at
        for out in taken:
            if out.until_at <= begins or out.from_at >= span.until_at:
                continue
            if out.from_at > begins:
                left.append(Span(begins, out.from_at))
            begins = max(begins, out.until_at)
        if begins < span.until_at:
            left.append(Span(begins, span.until_at))
    return tuple(left)


def hides_all_sun(window: Window, sun: SunDay) -> bool:
    """What stands opposite is higher than the sun ever gets in front of this window on the day, though it would come in without it."""
    in_front = [each.elevation for each in sun.path if abs(beside(window, each)) < 90 and each.elevation > 0]
    return bool(in_front) and window.building_degrees > 0 and max(in_front) <= window.building_degrees
