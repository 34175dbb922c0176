"""Where a window looks: degrees clockwise from north, and the sixteen points of the compass in words."""

import re

POINTS = (
    "north", "north-north-east", "north-east", "east-north-east", "east", "east-south-east", "south-east", "south-south-east",
    "south", "south-south-west", "south-west", "west-south-west", "west", "west-north-west", "north-west", "north-north-west",
)  # fmt: skip
STEP = 22.5


class InvalidBearing(ValueError):
    """Neither a number from 0 to 359 nor a point of the compass; the sentence says what to write."""


def compass_words(bearing_degrees: int) -> str:
    """The nearest of the sixteen points, a half step up going to the next: 11 is north, 12 north-north-east, 350 north."""
    return POINTS[int(bearing_degrees / STEP + 0.5) % len(POINTS)]


def read_bearing(text: str) -> int:
    """Degrees from “200”, “200°”, “SSW” or “south-south-west”; a point between whole degrees is rounded down. Raises InvalidBearing."""
    bare = re.sub(r"[\s°]", "", text).lower()
    if re.fullmatch(r"\d{1,3}", bare):
        if int(bare) < 360:
            return int(bare)
        raise InvalidBearing(
            f"A bearing goes from 0 to 359 degrees: 0 is north, 90 east, 180 south, 270 west. Not {int(bare)}."
        )
    for place, point in enumerate(POINTS):
        if bare.replace("-", "") in {point.replace("-", ""), "".join(part[0] for part in point.split("-"))}:
            return int(place * STEP)
    raise InvalidBearing(
        f"“{text}” is no bearing. Write degrees from 0 to 359, or a point of the compass such as south-west."
    )
