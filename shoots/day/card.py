"""What a shot says on set, ready to be placed: the page and the phone without network both show these words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from shoots.day.marks import cue_size

OF_THE_DAY = "Of the day"


@dataclass(frozen=True, slots=True)
class Card:
    """Sentences of one shot; an empty one is not shown. ``cue`` and ``also`` are what is said to the cook, a line each, in the studio's
    language and in the cook's; ``size`` is that of ``cue`` (`short`, `long`, `many`). What changes with each press is not in it.
    """

    head: str
    title: str
    often: str
    cue: str
    size: str
    language: str
    also: str
    also_language: str
    hazard: str
    note: str
    keep_back: str
    how: str


def sentence(words: str) -> str:
    """With a capital and a full stop; nothing stays nothing."""
    words = words.strip()
    return f"{words[0].upper()}{words[1:]}{'' if words[-1] in '.!?' else '.'}" if words else ""


def cue_lines(words: Sequence[str], size: str) -> str:
    """The cues to be said: each on its line where they are few, in one where they are many."""
    return (" " if size == "many" else "\n").join(sentence(word) for word in words)


def card_of(
    *,
    title: str,
    dish: str = "",
    planned: str = "",
    often: str = "",
    cues: Sequence[str] = (),
    language: str = "en",
    also: Sequence[str] = (),
    also_language: str = "en",
    hazard: str = "",
    note: str = "",
    keep_back: str = "",
    angle: str = "",
    distance: str = "",
    light: str = "",
    props: str = "",
) -> Card:
    """The card of a shot from its words; ``planned`` is the clock time it is planned for."""
    size = cue_size(cues)
    how = (
        ", ".join(part for part in (angle, distance) if part),
        f"Light {light}" if light else "",
        f"Props: {props}" if props else "",
    )
    return Card(
        head=sentence(", ".join(part for part in (dish or OF_THE_DAY, planned) if part)),
        title=title,
        often=often,
        cue=cue_lines(cues, size),
        size=size,
        language=language,
        also=cue_lines(also, "many"),
        also_language=also_language,
        hazard=sentence(hazard),
        note=sentence(note),
        keep_back=f"Hold back and have ready: {keep_back}" if keep_back else "",
        how=" ".join(sentence(part) for part in how if part),
    )
