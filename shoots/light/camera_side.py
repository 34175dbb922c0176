"""Light against the camera: back, side or front, from which hand, and which side of the table to stand on.

Directions are compass degrees. *Light from* is the direction from the subject towards its light; *looks* is the direction the lens
points. The limits between back, side and front are common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from shoots.light.window import turn


class Light(StrEnum):
    """How the light comes, seen from the camera."""

    BACK = "back"
    BACK_SIDE = "back-side"
    SIDE = "side"
    FRONT_SIDE = "front-side"
    FRONT = "front"


MIDDLE = {Light.BACK: 0, Light.BACK_SIDE: 45, Light.SIDE: 90, Light.FRONT_SIDE: 135, Light.FRONT: 180}
# What a shot is best lit by when nobody said it: common practice, no source.
BY_ANGLE = {"level": Light.BACK, "three-quarter": Light.BACK_SIDE, "overhead": Light.SIDE}


@dataclass(frozen=True, slots=True)
class LightAngle:
    """``degrees`` from the direction the lens looks to the light, 0 to 180; the hand it comes from, none straight ahead or behind."""

    light: Light
    degrees: float
    hand: str


def light_against_camera(looks: float, light_from: float) -> LightAngle:
    """k = |d180(light − looks)|: back up to 30, back-side below 60, side to 120, front-side below 150, then front. The right hand is clockwise."""
    beside = turn(light_from - looks)
    wide = abs(beside)
    if wide <= 30:
        light = Light.BACK
    elif wide < 60:
        light = Light.BACK_SIDE
    elif wide <= 120:
        light = Light.SIDE
    elif wide < 150:
        light = Light.FRONT_SIDE
    else:
        light = Light.FRONT
    hand = "" if wide in {0, 180} else "right" if beside > 0 else "left"
    return LightAngle(light, wide, hand)


def clock_position(light_from: float, facing: float) -> int:
    """The light of an overhead shot as an hour of the clock, seen by someone facing this way: 12 is ahead, 3 at the right hand."""
    return int((light_from - facing) % 360 / 30 + 0.5) % 12 or 12


def at_clock(hour: int, facing: float) -> float:
    """The direction of an hour of the clock for someone facing this way."""
    return (facing + hour * 30) % 360


@dataclass(frozen=True, slots=True)
class Wanted:
    """The light a shot asks for; ``is_said`` is false where the camera's angle suggests it. ``is_low`` is light that rakes over the surface."""

    light: Light
    is_said: bool
    is_low: bool = False


def wanted_light(words: str, angle: str) -> Wanted:
    """What is written beside a shot (“back, dark ground”, “raking side”), or what suits the angle of the camera."""
    said = words.lower()
    for light in (Light.BACK_SIDE, Light.FRONT_SIDE, Light.BACK, Light.SIDE, Light.FRONT):
        pattern = light.replace("-", "[- ]?")
        if re.search(rf"\b{pattern}(?:[- ]?li(?:ght|t))?\b", said):
            return Wanted(light, True, "raking" in said or "low" in said.split())
    return Wanted(BY_ANGLE.get(angle, Light.BACK_SIDE), False)


@dataclass(frozen=True, slots=True)
class Stand:
    """One place to stand: where the lens looks, where the camera is on the plan in degrees clockwise from its top, and the light's hand."""

    looks: float
    on_plan: float
    hand: str

    @property
    def hour(self) -> int:
        """The place as an hour of the clock, 12 at the top of the plan."""
        return clock_position(self.on_plan, 0)


# Places at the table on the plan: the window wall is at the top.
SIDES = {
    12: "with your back to the window",
    1: "at the corner right of the window",
    2: "at the corner right of the window",
    3: "at the right end",
    4: "at the far right corner",
    5: "at the far right corner",
    6: "on the room side, facing the window",
    7: "at the far left corner",
    8: "at the far left corner",
    9: "at the left end",
    10: "at the corner left of the window",
    11: "at the corner left of the window",
}
SIDES_OF_LAMP = {
    12: "at the top of the plan",
    1: "at the upper right corner",
    2: "at the upper right corner",
    3: "at the right end",
    4: "at the lower right corner",
    5: "at the lower right corner",
    6: "at the foot of the plan",
    7: "at the lower left corner",
    8: "at the lower left corner",
    9: "at the left end",
    10: "at the upper left corner",
    11: "at the upper left corner",
}


def stands(light: Light, light_from: float, up: float) -> tuple[Stand, ...]:
    """Where the camera stands for this light: one place for back and front, one at each hand for the others. ``up`` is the top of the plan."""
    middle = MIDDLE[light]
    turns = (middle,) if middle in {0, 180} else (middle, -middle)
    found = []
    for each in turns:
        looks = (light_from - each) % 360
        hand = "" if middle in {0, 180} else "right" if each > 0 else "left"
        found.append(Stand(looks, (looks + 180 - up) % 360, hand))
    return tuple(found)


def best_stand(choices: Iterable[Stand], *, cook_hour: int, window_hour: int | None = None) -> Stand:
    """Of several places the one furthest from the cook that is not between window and table; the first of equals."""

    def away(hour: int, other: int) -> int:
        return min((hour - other) % 12, (other - hour) % 12)

    return max(
        choices,
        key=lambda each: (window_hour is None or away(each.hour, window_hour) > 1, away(each.hour, cook_hour)),
    )


def side_words(hour: int, *, has_window: bool) -> str:
    """The side of the table in words."""
    return (SIDES if has_window else SIDES_OF_LAMP)[hour]
