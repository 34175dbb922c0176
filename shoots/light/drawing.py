"""The room from above as shapes of a picture: window wall at the top, table, sun patch, places to stand, the sun's path round it.

The picture is 840 by 840 units, its middle the middle of the room; a unit is a centimetre, or less where the room would not fit. The sun
goes round the room on a ring by its compass direction: the outer edge is the horizon, the inner the zenith. Numbers come as text.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from math import cos, radians, sin

from shoots.light.camera_side import Light
from shoots.light.setting import DARK, LAMPLIGHT, SUN, LightNow, Setting, places_for
from shoots.light.window import Patch, Window, is_on_glass, turn

SIZE, MIDDLE = 840, 420
ROOM_WIDTH, ROOM_DEPTH = 420, 340
LEFT, TOP = MIDDLE - ROOM_WIDTH / 2, MIDDLE - ROOM_DEPTH / 2
HORIZON, ZENITH, HOURS = 366.0, 300.0, 396.0
COOK_AWAY, LAMP_AWAY = 24.0, 76.0
CAMERA_AWAY = {Light.BACK: 106.0, Light.BACK_SIDE: 92.0, Light.SIDE: 66.0}


@dataclass(frozen=True, slots=True)
class Mark:
    """A word or a sign at a place; ``turn`` are degrees clockwise, ``words_beside`` and ``words_below`` where its words stand from it."""

    x: str
    y: str
    words: str = ""
    turn: str = "0"
    words_beside: str = "0"
    words_below: str = "0"


@dataclass(frozen=True, slots=True)
class Glass:
    """A window on its wall."""

    x1: str
    y1: str
    x2: str
    y2: str
    is_lit: bool
    is_chosen: bool
    words: str


@dataclass(frozen=True, slots=True)
class Box:
    x: str
    y: str
    width: str
    height: str


@dataclass(frozen=True, slots=True)
class Drawing:
    """Everything the template draws. ``sun`` is nothing while it is down; ``ray`` leads from it to the table when it falls in."""

    room: Box
    table: Box
    table_words: Mark
    glasses: tuple[Glass, ...]
    patch: str
    path: str
    hours: tuple[Mark, ...]
    letters: tuple[Mark, ...]
    sun: Mark | None
    ray: str
    cameras: tuple[Mark, ...]
    cook: Mark
    lamp: Mark | None


def draw_room(setting: Setting, now: LightNow, windows: Iterable[tuple[str, Window]]) -> Drawing:
    """The picture of one moment. ``windows`` are the kitchen's, by name; the one of the setting stands in the middle of the top wall."""
    scale = _scale(setting)
    table = setting.table
    middle_x = MIDDLE + table.aside * 100 * scale
    middle_y = TOP + (table.distance + table.depth / 2) * 100 * scale
    half_width, half_depth = table.width * 50 * scale, table.depth * 50 * scale

    def round_table(beside: float, away: float) -> tuple[float, float]:
        x, y = sin(radians(beside)), -cos(radians(beside))
        edge = min(half_width / abs(x) if abs(x) > 0.01 else 1e9, half_depth / abs(y) if abs(y) > 0.01 else 1e9)
        return middle_x + x * (edge + away), middle_y + y * (edge + away)

    sun = now.sun if now.sun and now.sun.elevation > 0 and setting.sun else None
    sun_place = _on_ring(sun.azimuth - setting.up, sun.elevation) if sun else None
    ray = (
        f"{_n(sun_place[0])},{_n(sun_place[1])} {_n(middle_x)},{_n(middle_y)}" if sun_place and now.kind == SUN else ""
    )
    return Drawing(
        room=Box(_n(LEFT), _n(TOP), _n(ROOM_WIDTH), _n(ROOM_DEPTH)),
        table=Box(_n(middle_x - half_width), _n(middle_y - half_depth), _n(half_width * 2), _n(half_depth * 2)),
        table_words=_mark((middle_x, middle_y)),
        glasses=_glasses(setting, now, windows, scale),
        patch=_patch(now.patch, setting.window, scale) if now.patch and setting.window else "",
        path=_path(setting),
        hours=_hours(setting),
        letters=_letters(setting),
        sun=_mark(sun_place) if sun_place else None,
        ray=ray,
        cameras=tuple(_cameras(setting, now, round_table)),
        cook=_mark(round_table(setting.cook_hour * 30, COOK_AWAY)),
        lamp=_mark(round_table(setting.lamp_hour * 30, LAMP_AWAY)) if now.kind in {LAMPLIGHT, DARK} else None,
    )


def _n(value: float) -> str:
    return f"{value:.1f}".removesuffix(".0")


def _mark(place: tuple[float, float], words: str = "") -> Mark:
    return Mark(_n(place[0]), _n(place[1]), words)


def _scale(setting: Setting) -> float:
    table, window = setting.table, setting.window
    wide = max(table.width + 2 * abs(table.aside) + 1.8, (window.width if window else 0) + 0.4) * 100
    deep = (table.distance + table.depth + 1.1) * 100
    return min(1.0, ROOM_WIDTH / wide, ROOM_DEPTH / deep)


def _on_ring(beside: float, elevation: float) -> tuple[float, float]:
    away = HORIZON - max(elevation, 0.0) / 90 * (HORIZON - ZENITH)
    return _at(beside, away)


def _at(beside: float, away: float) -> tuple[float, float]:
    return MIDDLE + away * sin(radians(beside)), MIDDLE - away * cos(radians(beside))


def _path(setting: Setting) -> str:
    """The sun's way while it is up, as moves of an SVG path."""
    if setting.sun is None:
        return ""
    parts, drawing = [], False
    for sun in setting.sun.path[::2]:
        if sun.elevation > 0:
            x, y = _on_ring(sun.azimuth - setting.up, sun.elevation)
            parts.append(f"{'L' if drawing else 'M'}{_n(x)} {_n(y)}")
        drawing = sun.elevation > 0
    return " ".join(parts)


def _hours(setting: Setting) -> tuple[Mark, ...]:
    """The full hours of the kitchen's clock along the path: each where few are, every third on a long day."""
    if setting.sun is None:
        return ()
    up = [
        (setting.sun.clock(at), sun)
        for at, sun in zip(setting.sun.moments[:-1], setting.sun.path[:-1], strict=True)
        if sun.elevation > 0 and setting.sun.clock(at).minute == 0
    ]
    every = 1 if len(up) <= 10 else 2 if len(up) <= 14 else 3
    return tuple(
        _mark(_at(sun.azimuth - setting.up, HOURS), str(clock.hour)) for clock, sun in up if clock.hour % every == 0
    )


def _letters(setting: Setting) -> tuple[Mark, ...]:
    if setting.window is None:
        return ()
    return tuple(
        _mark(_at(degrees - setting.up, ZENITH), letter)
        for degrees, letter in ((0, "N"), (90, "E"), (180, "S"), (270, "W"))
    )


def _patch(patch: Patch, window: Window, scale: float) -> str:
    """The corners of the sun patch, as far as the room is drawn."""
    half, deepest = window.width / 2, ROOM_DEPTH / scale / 100
    if patch.near >= deepest:
        return ""
    corners = []
    for deep, sides in ((patch.near, (-half, half)), (min(patch.far, deepest), (half, -half))):
        for side in sides:
            x = min(max(side - patch.drift * deep, -40.0), 40.0)
            corners.append(f"{_n(MIDDLE - LEFT + x * 100 * scale)},{_n(deep * 100 * scale)}")
    return " ".join(corners)


def _glasses(setting: Setting, now: LightNow, windows: Iterable[tuple[str, Window]], scale: float) -> tuple[Glass, ...]:
    """Each window on the wall nearest to its bearing; a second one on a wall stands beside the first."""
    found = []
    taken: dict[int, int] = {}
    chosen_is_drawn = False
    for name, window in windows:
        is_chosen = not chosen_is_drawn and setting.window is not None and window == setting.window
        chosen_is_drawn |= is_chosen
        if is_chosen:
            wall, shift = 0, 0.0
        else:
            wall = int((turn(window.bearing - setting.up) % 360) / 90 + 0.5) % 4
            place = taken.get(wall, 0) + (wall == 0 and setting.window is not None)
            taken[wall] = taken.get(wall, 0) + 1
            shift = (0.0, -150.0, 150.0)[place % 3]
        length = min(window.width * 50 * scale, ROOM_WIDTH / 2 - 10 if is_chosen else 55.0)
        x, y = (
            (MIDDLE + shift, TOP),
            (LEFT + ROOM_WIDTH, MIDDLE + shift / 1.6),
            (MIDDLE + shift, TOP + ROOM_DEPTH),
            (LEFT, MIDDLE + shift / 1.6),
        )[wall]
        along = (length, 0.0) if wall in {0, 2} else (0.0, length)
        lit = now.sun is not None and is_on_glass(window, now.sun) and setting.kind != "overcast"
        found.append(
            Glass(_n(x - along[0]), _n(y - along[1]), _n(x + along[0]), _n(y + along[1]), lit, is_chosen, name)
        )
    return tuple(found)


def _cameras(
    setting: Setting, now: LightNow, round_table: Callable[[float, float], tuple[float, float]]
) -> Iterable[Mark]:
    """The places for back, back-side and side light that are within the room."""
    left, right, top, bottom = LEFT + 14, LEFT + ROOM_WIDTH - 14, TOP + 14, TOP + ROOM_DEPTH - 14
    for light, choices in places_for(now.light_from, setting.up):
        for stand in choices:
            x, y = round_table(stand.on_plan, CAMERA_AWAY[light])
            if not (left <= x <= right and top <= y <= bottom):
                continue
            half = 7 * len(light.value)  # of the words, which stay within the walls
            beside = max(0.0, left + half - x) + min(0.0, right - half - x)
            below = -34.0 if stand.hour in {10, 11, 12, 1, 2} and y - 34 > TOP + 16 else 36.0
            yield Mark(_n(x), _n(y), light.value, _n(stand.on_plan), _n(beside), _n(below))
