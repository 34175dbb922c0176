"""For one planned shot: which lens fits the room, how deep it is sharp, and how long the shutter may be open. Millimetres and seconds.

Distances, depth and blur by ``lens.py``. What a distance shows, how far a camera is raised for a three-quarter view, how fast hands move and
how long a trail reads as movement are common practice, no source; the page shows each and the person changes it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, floor, inf, radians, sin

from shoots.light import lens
from shoots.light.lens import ALLOW, BARELY, FITS, SENSORS, TOO_LONG, Sensor
from shoots.light.lens_answers import OTHER_LENSES, RIG, SUBJECTS

TOO_NEAR = "too near"
RAISED = 40  # degrees above the table of a three-quarter view
USUAL_STOP = 8.0
FALL, HAND = 200.0, 500.0  # mm a pour falls before it is seen; mm a second of a working hand
TRAIL = 0.05  # of the short side: a blur that is meant
SHORTEST_SHUTTER = 1 / 8000
FALLS = frozenset(
    {"add", "crack", "crumble", "deglaze", "drain", "drizzle", "dust", "flip", "pour", "season", "separate", "sprinkle", "squeeze", "toss"}
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Body:
    """A camera: its sensor and the pixels along the long side."""

    sensor: Sensor
    pixels: int


@dataclass(frozen=True, slots=True)
class Glass:
    """A lens: its focal lengths, and how near its sensor may come to the subject (None: not known)."""

    name: str
    shortest: int
    longest: int
    nearest: float | None = None


@dataclass(frozen=True, slots=True)
class Room:
    """What stops a camera: ceiling and table above the floor, and the way back from the middle of the table (None: not measured)."""

    ceiling: float
    table: float
    behind: float | None = None


@dataclass(frozen=True, slots=True)
class ShotAsk:
    """What a shot asks: angle, distance or the short side it shows, what its movement should be, and what the person fixed."""

    angle: str = ""
    distance: str = ""
    frame: float | None = None
    motion: str = ""
    action: str = ""
    focal: int | None = None
    stop: float | None = None
    shutter: float | None = None  # seconds

    @property
    def framed(self) -> float:
        """The short side of the picture on the subject."""
        if self.frame:
            return self.frame
        subject, air = SUBJECTS.get(self.distance, SUBJECTS["medium"])
        return subject * (1 + air / 100)

    @property
    def speed(self) -> float:
        """Millimetres a second across the view: of what falls, or of a hand."""
        return lens.falling_speed(FALL / 1000) * 1000 if self.action in FALLS else HAND


@dataclass(frozen=True, slots=True)
class LensFit:
    """One lens for one shot: its focal length, how far the sensor is from the subject, whether that fits, and by how much it is short."""

    name: str
    focal: int
    away: float
    fits: str
    short_by: float = 0.0
    is_zoom: bool = False


@dataclass(frozen=True, slots=True)
class ShotLens:
    """What is said of a shot: the short side it shows, its lenses, and sentences on reach, depth and movement."""

    framed: float
    lenses: tuple[LensFit, ...]
    reach: str
    depth: str
    movement: str
    is_out_of_reach: bool


USUAL_BODY = Body(SENSORS["full"], 8256)
USUAL_LENSES = tuple(Glass(f"{each} mm", each, each) for each in OTHER_LENSES)


def way_of(angle: str, room: Room) -> float:
    """How far the sensor may be from the subject: up to the ceiling less camera and arm, back to the wall, or both on the slant; inf: not known."""
    behind = inf if room.behind is None else room.behind
    if angle == "overhead":
        return lens.room_above(room.ceiling, room.table, RIG)
    if angle == "level":
        return behind
    raised = radians(RAISED)
    return min((room.ceiling - room.table) / sin(raised), behind / cos(raised))


def fit_of(glass: Glass, ask: ShotAsk, body: Body, way: float) -> LensFit:
    """A lens at the longest of its focal lengths that fits; the person's own focal length where it was fixed."""
    m = lens.magnification(body.sensor.short, ask.framed)
    per_mm = lens.sensor_to_subject(1, m)
    longest = floor(way / per_mm / ALLOW) if way < inf else glass.longest
    focal = ask.focal or min(max(longest, glass.shortest), glass.longest)
    found, is_zoom = lens.reach(body.sensor, focal, ask.framed, way), glass.longest > glass.shortest
    if found.fits == TOO_LONG:
        return LensFit(glass.name, focal, found.sensor, TOO_LONG, found.sensor - way, is_zoom)
    if glass.nearest and found.sensor < glass.nearest:
        return LensFit(glass.name, focal, found.sensor, TOO_NEAR, glass.nearest - found.sensor, is_zoom)
    return LensFit(glass.name, focal, found.sensor, found.fits, is_zoom=is_zoom)


def shot_lens(ask: ShotAsk, room: Room, body: Body = USUAL_BODY, lenses: Sequence[Glass] = USUAL_LENSES) -> ShotLens:
    """The lenses for a shot in a room, what is sharp, and what the shutter has to do."""
    way = way_of(ask.angle, room)
    chosen = [each for each in lenses if ask.focal is None or each.shortest <= ask.focal <= each.longest]
    if ask.focal and not chosen:
        chosen = [Glass(f"{ask.focal} mm", ask.focal, ask.focal)]
    fits = tuple(fit_of(each, ask, body, way) for each in chosen)
    return ShotLens(
        framed=ask.framed,
        lenses=fits,
        reach=reach_words(fits, ask.angle, way),
        depth=depth_words(ask, body),
        movement=movement_words(ask, body),
        is_out_of_reach=not any(each.fits in (FITS, BARELY) for each in fits),
    )


def reach_words(fits: Sequence[LensFit], angle: str, way: float) -> str:
    """Fits: 35 mm (sensor 62 cm away), 50 mm (89 cm). Too long: 90 mm, by 21 cm."""
    if way <= 0:
        return "No room above the table for a camera at all: lower the table."
    parts = [
        (_away([each for each in fits if each.fits == FITS]), "Fits"),
        (", ".join(_lens(each) for each in fits if each.fits == BARELY), "Barely, so try it before the day"),
        (", ".join(f"{_lens(each)}, by {cm(each.short_by)}" for each in fits if each.fits == TOO_LONG), "Too long"),
        (", ".join(_lens(each) for each in fits if each.fits == TOO_NEAR), "Does not focus so near"),
    ]
    said = " ".join(f"{name}: {words}." for words, name in parts if words)
    if not any(each.fits in (FITS, BARELY) for each in fits):
        is_near = all(each.fits == TOO_NEAR for each in fits)
        said += (
            " Show more, or take a lens that focuses nearer."
            if is_near
            else " Show less, lower the table, or take a shorter lens."
        )
    if way == inf and angle != "overhead":
        said += " The way back from the table is not measured."
    return said


def depth_words(ask: ShotAsk, body: Body) -> str:
    """Sharp over 13 cm at f/8."""
    stop = ask.stop or USUAL_STOP
    deep = lens.depth_close_up(stop, body.sensor.circle, lens.magnification(body.sensor.short, ask.framed))
    return f"Sharp over {cm(deep)} at f/{stop:g}."


def movement_words(ask: ShotAsk, body: Body) -> str:
    """What the shutter has to do for a movement that is to be frozen or blurred, and what the one fixed does; empty where nothing was said."""
    if ask.motion not in ("freeze", "blur", "either"):
        return ""
    m = lens.magnification(body.sensor.short, ask.framed)
    frozen, trail = lens.shutter_for(body.sensor.circle, ask.speed, m), TRAIL * ask.framed / ask.speed
    what = f"What falls {FALL / 10:g} cm" if ask.action in FALLS else "A working hand"
    parts = []
    if ask.motion in ("freeze", "either"):
        parts.append(f"{what} looks frozen at {lens.shutter_words(frozen)}{_flash(frozen)}")
    if ask.motion in ("blur", "either"):
        begun = "draws" if parts else f"{what} draws"
        parts.append(f"{begun} a trail at {lens.shutter_words(trail)}")
    return f"{', '.join(parts)}.{_fixed(ask, frozen, trail)}"


def cm(millimetres: float) -> str:
    """89 cm, 1.13 m, 9 mm."""
    if millimetres < 20:
        return f"{millimetres:.0f} mm"
    return f"{millimetres / 10:.0f} cm" if millimetres < 1000 else f"{millimetres / 1000:.2f} m"


def _away(fits: Sequence[LensFit]) -> str:
    said = [
        f"{_lens(each)} ({'' if number else 'sensor '}{cm(each.away)}{'' if number else ' away'})"
        for number, each in enumerate(fits)
    ]
    return ", ".join(said)


def _lens(fit: LensFit) -> str:
    return f"{fit.name} at {fit.focal} mm" if fit.is_zoom else fit.name


def _flash(seconds: float) -> str:
    return ", by a short flash in a dark room" if seconds < SHORTEST_SHUTTER else ""


def _fixed(ask: ShotAsk, frozen: float, trail: float) -> str:
    if not ask.shutter:
        return ""
    said = lens.shutter_words(ask.shutter)
    if ask.motion == "either":
        what = (
            "freezes it" if ask.shutter <= frozen else "draws the trail" if ask.shutter >= trail / 4 else "does neither"
        )
        return f" {said} {what}."
    if ask.motion == "freeze" and ask.shutter > frozen:
        return f" {said} blurs it {ask.shutter / frozen:.0f} times as far as looks sharp."
    if ask.motion == "blur" and ask.shutter < trail / 4:
        return f" {said} is too short for a trail."
    return f" {said} does that."
