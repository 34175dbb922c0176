"""The light of a day in sentences. Office pages are English only."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime

from clients.compass import compass_words
from shoots.light.camera_side import Light, Stand, Wanted, best_stand, side_words, stands
from shoots.light.setting import (
    DARK,
    DUSK,
    LAMPLIGHT,
    OVERCAST,
    SOFT,
    SUN,
    LightNow,
    Setting,
    Stretch,
    clock_for_cook,
    light_at,
)
from shoots.light.sun import RISE_DEGREES, Span, SunDay
from shoots.light.window import Window, WindowDay, hides_all_sun, incidence, sun_patch

OPPOSITE_WINDOW = 12
WALL = 60  # degrees from which what stands opposite takes most of the sky; common practice, no source
LEAST_ROOM = 0.8  # metres between wall and table for somebody with a camera; common practice, no source


def points_to(degrees: float) -> str:
    """South-east: the nearest of the sixteen points."""
    return compass_words(int(degrees % 360))


def and_words(parts: Iterable[str]) -> str:
    """One, two and three."""
    said = list(parts)
    return " and ".join(part for part in (", ".join(said[:-1]), said[-1]) if part) if said else ""


def clock_words(sun: SunDay, at: datetime) -> str:
    """10:42 by the kitchen's clock; the end of the day is 24:00."""
    return "24:00" if at == sun.ends_at else f"{sun.clock(at):%H:%M}"


def span_words(sun: SunDay, span: Span) -> str:
    """08:21 to 16:56, by the kitchen's clock."""
    return f"{clock_words(sun, span.from_at)} to {clock_words(sun, span.until_at)}"


def spans_words(sun: SunDay, spans: Sequence[Span]) -> str:
    """08:21 to 10:05 and 12:20 to 16:56."""
    return and_words(span_words(sun, each) for each in spans)


def sun_words(sun: SunDay) -> str:
    """When the sun is up; or that it does not set, or not rise."""
    if sun.is_polar_day:
        return "The sun does not set."
    if sun.is_polar_night:
        if not sun.twilight:
            return "The sun does not rise, and there is no twilight."
        return f"The sun does not rise. Twilight from {spans_words(sun, sun.twilight)}."
    return f"The sun is up from {spans_words(sun, sun.up)}."


def clock_change_words(sun: SunDay) -> str:
    """What the clocks do on this day; nothing on most."""
    if sun.minutes == 1440:
        return ""
    way = "forward" if sun.minutes < 1440 else "back"
    return f"The clocks go {way} on this day: it has {sun.minutes / 60:g} hours. All times are what the clock shows."


def headline(setting: Setting, hours: WindowDay | None, missing: Sequence[str]) -> str:
    """How the light stands, in one line: the sentence the page begins with."""
    if setting.window is None or setting.by_lamp:
        from_where = f"By the lamp, at {setting.lamp_hour} o’clock on the plan."
        return from_where + (" The day does not change it." if setting.window else " No window is reckoned with.")
    looks = f"the window, {points_to(setting.up)}"
    if setting.sun is None or hours is None:
        return f"Soft light from {looks}. When the sun comes in is not known: {and_words(missing)}."
    sun = setting.sun
    if not sun.up:
        return f"{sun_words(sun)} Bring the lamp."
    up = spans_words(sun, sun.up)
    if setting.window.building_degrees >= WALL and not hours.on_glass:
        return f"The window faces a wall: no sun, and little light, from {up}. Have the lamp ready, or choose another window."
    if setting.kind == OVERCAST:
        return f"Closed sky: soft light from {looks}, from {up}."
    if hours.hard:
        soft = f"Soft from {spans_words(sun, hours.soft)}." if hours.soft else "No soft light while the sun is up."
        return f"Hard sun on the table from {spans_words(sun, hours.hard)}. {soft}"
    if hours.on_glass:
        return f"Sun on the glass from {spans_words(sun, hours.on_glass)}, but not on the table: soft from {up}."
    if hides_all_sun(setting.window, sun):
        return f"What stands opposite keeps the sun out all day: soft light, and less of it, from {up}."
    return f"No sun in this window all day: soft light from {looks}, from {up}."


def glass_words(setting: Setting, hours: WindowDay | None) -> str:
    """When the sun is on the glass of a window, or why it is not."""
    if setting.window is None or setting.sun is None or hours is None:
        return "Not known"
    if setting.kind == OVERCAST:
        return "None: closed sky"
    if hours.on_glass:
        return spans_words(setting.sun, hours.on_glass)
    if hides_all_sun(setting.window, setting.sun):
        return "None: hidden by what stands opposite"
    return "None this day"


def measures_words(window: Window, *, is_measured: bool) -> str:
    """The measures of a window: glass, overhang, what stands opposite; and that they are assumed."""
    parts = [f"{window.width * 100:.0f} cm wide, {window.sill * 100:.0f} to {window.head * 100:.0f} cm above the floor"]
    if not is_measured:
        parts.append("not measured, so assumed")
    if window.overhang_depth:
        parts.append(
            f"overhang {window.overhang_depth * 100:.0f} cm deep, {window.overhang_above * 100:.0f} cm above the glass"
        )
    if window.building_degrees >= WALL:
        parts.append(f"faces a wall, {window.building_degrees:.0f}° high")
    elif window.building_degrees:
        parts.append(f"what stands opposite is {window.building_degrees:.0f}° high")
    return "; ".join(parts)


def reach_words(setting: Setting, hours: WindowDay | None) -> str:
    """How far into the room the sun of the day lies at the height of the table, between its least and its furthest; nothing without sun."""
    if setting.window is None or setting.sun is None or hours is None:
        return ""
    patches = [sun_patch(setting.window, setting.table.height, each) for each in setting.sun.path if each.elevation > 2]
    lying = [each for each in patches if each is not None]
    if not lying or not hours.on_glass:
        return ""
    near, far = min(each.near for each in lying), max(each.far for each in lying)
    return f"At the height of the table it lies {patch_words(near, far)}."


def table_words(setting: Setting, hours: WindowDay | None) -> str:
    """What light a table has that stands at this window."""
    if setting.sun is None or hours is None:
        return ""
    if not setting.sun.up:
        return "No daylight."
    if setting.window and setting.window.building_degrees >= WALL and not hours.on_glass:
        return "Little light all day."
    hard = f"Hard from {spans_words(setting.sun, hours.hard)}. " if hours.hard else ""
    return hard + (f"Soft from {spans_words(setting.sun, hours.soft)}." if hours.soft else "No soft light.")


def stray_words(setting: Setting, others: Iterable[tuple[str, Sequence[Span]]]) -> str:
    """That the sun falls in at windows the table does not stand at, and what to do; nothing where it does not."""
    if setting.sun is None:
        return ""
    said = [f"{name} from {spans_words(setting.sun, spans)}" for name, spans in others]
    return f"Sun also falls in at {and_words(said)}: blind it then, or it may reach the set." if said else ""


def now_words(setting: Setting, now: LightNow, at: datetime) -> str:
    """The light at one moment: where the sun is, and what comes of it on the table."""
    sun = setting.sun
    if sun is None or now.sun is None:
        return ""
    if now.kind == DARK:
        return f"{clock_words(sun, at)}: dark. The lamp lights the table from {setting.lamp_hour} o’clock on the plan."
    if now.kind == DUSK:
        return f"{clock_words(sun, at)}: twilight. Little light, and it goes fast; have the lamp ready."
    where = (
        f"{clock_words(sun, at)}: the sun is {max(now.sun.elevation, 0):.0f}° high in the {points_to(now.sun.azimuth)}"
    )
    if now.sun.elevation <= 0:
        place = "on the horizon" if now.sun.true_elevation > RISE_DEGREES else "down"
        where = f"{clock_words(sun, at)}: the sun is {place}"
    if now.kind == LAMPLIGHT:
        falls = ", and falls in at the window: draw the blind." if now.is_on_glass else "."
        return f"{where}{falls} The lamp lights the table from {setting.lamp_hour} o’clock on the plan."
    if setting.kind == OVERCAST:
        return f"{where}, behind the clouds. Soft light from the window."
    if now.is_on_glass and setting.window:
        where += f", {incidence(setting.window, now.sun):.0f}° off square to the glass"
    if now.kind == SUN and now.patch:
        return f"{where}. Its patch lies {patch_words(now.patch.near, now.patch.far)}: hard light on the table."
    if now.is_on_glass and now.patch:
        return f"{where}. Its patch lies {patch_words(now.patch.near, now.patch.far)}, beside the table: soft light."
    if now.is_on_glass:
        return f"{where}, but shaded from the table. Soft light from the window."
    if setting.window and abs((now.sun.azimuth - setting.up + 180) % 360 - 180) < 90:
        return f"{where}, behind what stands opposite. Soft light from the window."
    return f"{where}, behind this wall. Soft light from the window."


def patch_words(near: float, far: float) -> str:
    """0.2 to 1.4 m into the room."""
    if near > 9:
        return "more than 9 m into the room"
    return f"{near:.1f} to {far:.1f} m into the room" if far <= 9 else f"{near:.1f} to more than 9 m into the room"


KIND_WORDS = {
    SUN: "Hard sun",
    SOFT: "Soft",
    LAMPLIGHT: "The lamp",
}


def kind_words(stretch: Stretch) -> str:
    """The light of a stretch of the day."""
    return KIND_WORDS.get(stretch.kind, "Window light")


def when_words(setting: Setting, stretch: Stretch) -> str:
    """The clock times of a stretch, or that it holds at any time."""
    return span_words(setting.sun, stretch.span) if setting.sun and stretch.span else "At any time"


def places_words(choices: Sequence[Stand], *, has_window: bool) -> str:
    """The sides of the table in short: left end or right end. A place between window and table is named only where there is no other."""
    free = [each for each in choices if not has_window or _apart(each.hour, OPPOSITE_WINDOW) > 1] or choices
    words = (side_words(each.hour, has_window=has_window).partition(",")[0] for each in free)
    return " or ".join(dict.fromkeys(word.removeprefix("at the ").removeprefix("on the ") for word in words))


def _apart(hour: int, other: int) -> int:
    return min((hour - other) % 12, (other - hour) % 12)


def asked_words(wanted: Wanted, angle: str) -> str:
    """Back light; raking side light; side light, as the angle suggests."""
    words = f"{'raking ' if wanted.is_low else ''}{wanted.light} light".capitalize()
    if wanted.is_said:
        return words
    return f"{words}, suggested" + (f" by the {angle} view" if angle else "")


def shot_words(setting: Setting, wanted: Wanted, *, angle: str, at: datetime | None, is_timed: bool) -> str:
    """Where the camera stands for a shot, and what light it will have at that moment."""
    now = light_at(setting, at)
    has_window = setting.window is not None
    if angle == "overhead":
        hour = clock_for_cook(setting, now.light_from)
        where = f"From above: the light comes from {hour} o’clock, seen from the cook."
    else:
        choices = stands(wanted.light, now.light_from, setting.up)
        stand = best_stand(choices, cook_hour=setting.cook_hour, window_hour=OPPOSITE_WINDOW if has_window else None)
        hand = f", light from the {stand.hand}" if stand.hand else ""
        where = f"Stand {side_words(stand.hour, has_window=has_window)}{hand}."
        if has_window and _apart(stand.hour, OPPOSITE_WINDOW) <= 1 and setting.table.distance < LEAST_ROOM:
            where += f" Only {setting.table.distance * 100:.0f} cm between wall and table: pull the table out."
        elif _apart(stand.hour, setting.cook_hour) <= 1:
            where += " The cook works there too: change places for the take."
    return " ".join(part for part in (where, _quality_words(now, is_timed=is_timed)) if part)


def _quality_words(now: LightNow, *, is_timed: bool) -> str:
    if not is_timed:  # told for the soft light of the day; sun on the table means there is none
        return "No soft light on this day: a white cloth in the window makes it." if now.kind == SUN else ""
    return {
        SUN: "Hard sun on the table then; a white cloth in the window makes it soft.",
        DUSK: "Twilight then: have the lamp ready.",
        DARK: "The sun is down then: bring the lamp.",
        SOFT: "Soft light then.",
    }.get(now.kind, "")


def light_name(light: Light) -> str:
    """Back, back-side, side: as the head of a column."""
    return light.value.capitalize()
