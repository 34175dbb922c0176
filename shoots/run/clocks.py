"""How long food keeps its looks, and how long it may stand. Cautions only: the cook, the kitchen's rules and local codes decide."""

from __future__ import annotations

import re
from dataclasses import dataclass

# Minutes after plating, the shorter where a range is usual. Common practice, no source; the person sees and changes them.
HOLDS = (
    (2, r"ice[ -]cream|sorbet|parfait|gelato"),
    (2, r"souffl[eé]"),
    (1, r"sparkling|fizz|soda|bubbles"),
    (1, r"melted cheese|cheese pull|pull of cheese"),
    (3, r"foam|froth"),
    (5, r"dressed|salad"),
    (5, r"deep[ -]?fr(?:y|ied)|fritters?|crisp crust|battered"),
    (5, r"carve[ds]?|steak"),
    (5, r"sauce|gravy|custard"),
    (10, r"hollandaise|avocado|ice[ -]cubes?|(?:cut|sliced) apples?"),
    (15, r"(?:chopped|cut) herbs"),
    (20, r"cakes?|sponge|tart|pie"),
    (60, r"bread|loaf|buns?"),
)
WARN_AT = (210, 90)  # minutes between heat or fridge and the last picture of a dish, the graver first

# The first is FDA Food Code 3-501.19(B), the second the Food Hygiene (Wales) Regulations 2006, Schedule 4, paragraphs 2, 6 and 7.
FOOD_CAUTION = (
    "Food kept by time alone is used or thrown away within 4 hours in the US (FDA Food Code 3-501.19(B)); in the UK hot food on "
    "display has 2 hours and chilled food 4, once only (Food Hygiene Regulations 2006, Schedule 4). "
    "The cook, the kitchen’s own rules and local codes decide."
)
NOT_FOR_EATING = "Not for eating once handled on set, unless the cook says so."


@dataclass(frozen=True, slots=True)
class FoodClock:
    """How many minutes lie between the heat or the fridge and the last picture of a dish; ``limit`` is what they passed (0: none)."""

    dish: str
    minutes: int
    limit: int


def hold_of(*texts: str) -> int | None:
    """How many minutes the looks of a dish last by its words: the shortest that is named. None where nothing is named."""
    text = " ".join(texts).lower()
    return min((minutes for minutes, words in HOLDS if re.search(rf"\b(?:{words})\b", text)), default=None)


def food_clock(dish: str, off_the_heat: int, last_picture: int) -> FoodClock:
    """The clock of a dish from the minute it leaves heat or fridge to its last picture."""
    minutes = max(0, last_picture - off_the_heat)
    return FoodClock(dish, minutes, next((limit for limit in WARN_AT if minutes >= limit), 0))
