"""What is looked at by name before the first frame: the rig and the room once, the frame at each new light.

The cook, the kitchen's own rules, licensed electricians and local codes stand above every line.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

RIG, FRAME = "rig", "frame"
NEW_LIGHT = "new_light"


@dataclass(frozen=True, slots=True)
class Line:
    """A line of a list: its key, its words, what it means, the hazards or ingredients that call for it (empty: always), and its source."""

    key: str
    words: str
    help: str
    calls_for: str = ""
    source: str = "common practice, no source"


# Common practice, no source, where a line names none.
RIG_LINES = (
    Line("arm", "Arm over the set", "Counterweight or sandbag on the stand, a second fixing (safety cord) on camera and arm. Nobody eats or cooks under it."),
    Line("lamps", "Lamps", "Mains lamps on a residual-current device, away from sinks and steam."),
    Line("cables", "Stands and cables", "No cable where people walk, no stand near burners or fryers."),
    Line("floor", "The floor is dry", "Wet floor is wiped before anything is carried over it."),
    Line("glass", "Broken glass is agreed", "If glass or a lamp breaks near food, the food is thrown away. Everybody on set knows."),
    Line("word", "“Stop” is agreed", "Everyone’s word, and it ends the take. Near flame, hot oil or blades the cook says “now”."),
    Line("fire", "Fire", "Lid or fire blanket at hand, the alarm is known, the way out is free."),
    Line("flame", "Flambé, torch, open flame", "Only the cook. No bottle of alcohol near the flame, lid at hand, hair and cloths away.", r"flame|torch|flamb"),
    Line("fat", "Hot fat and hot sugar", "Water never goes in. Lid or fire blanket at hand; a burn gets cool running water. Never a face or a lens above.", r"hot oil|hot fat|hot sugar"),
    Line("steam", "Steam", "The hood is turned down by the cook only, and never with flame or gas in use. No face and no lens above.", r"steam"),
    Line("blades", "Blades", "Where they lie is known. Nobody reaches into a cut.", r"blade|knife|knives|slic"),
    Line("charcoal", "Charcoal, smoke, gas", "Carbon monoxide: charcoal only outdoors or as the kitchen does it.", r"carbon monoxide|charcoal|smoke"),
    Line("raw", "Raw egg and raw meat", "Own board, own cloth. Hands are washed before anything else is touched.", r"raw egg|raw meat"),
    Line("poultry", "Raw poultry", "Never washed for a picture: it spreads bacteria.", r"chicken|poultry|turkey|duck|goose|quail|guinea fowl|poussin", "USDA advice of 2019, read second hand"),
)  # fmt: skip

FRAME_LINES = (
    Line("ceiling", "Ceiling and hood lamps", "Off, or matched in colour to the light of the picture."),
    Line(
        "flicker", "Test for flicker", "A burst at the shutter time to be used: bands or steps of brightness show it."
    ),
    Line("grey", "Grey card or colour target", "In the light of the dish, filling the middle of the frame."),
    Line("empty", "Empty set", "Surface, cloth and empty plate, before the dish comes."),
)


def rig_lines(texts: Iterable[str]) -> tuple[Line, ...]:
    """The lines of the rig and the room that the day calls for, by its hazards and ingredients: those for every day, and those something names."""
    said = "\n".join(texts).lower()
    return tuple(line for line in RIG_LINES if not line.calls_for or re.search(rf"\b(?:{line.calls_for})", said))


def line_of(key: str) -> Line | None:
    """The line with this key on either list."""
    return next((line for line in (*RIG_LINES, *FRAME_LINES) if line.key == key), None)
