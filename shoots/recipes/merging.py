"""Two moments become one, and one becomes two."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from shared.words.formats import with_capital
from shoots.plan.lexicon import REPEATS

LONGEST_WHAT = 200
_JOINTS = (r",?\s+(?:and\s+)?then\s+", r";\s+", r",?\s+and\s+", r",\s+")


@dataclass(frozen=True, slots=True)
class MomentWords:
    """What a moment says: the fields a person may change. `repeat` is one of free, keep, many, once, in that order of strictness."""

    what: str
    visible: str = ""
    action: str = ""
    repeat: str = "free"
    peak_seconds: int | None = None
    hazards: tuple[str, ...] = ()
    cues: tuple[str, ...] = ()
    prepare: tuple[str, ...] = ()
    note: str = ""
    angle: str = ""
    distance: str = ""
    motion: str = ""
    light: str = ""
    interest: int = 4


def merged(first: MomentWords, second: MomentWords) -> MomentWords:
    """Both moments as one: the strictest of how often it can be had, the shorter peak, the hazards, cues and preparations of both.

    The camera stays where the first one has it; where the first says nothing, the second speaks.
    """
    peaks = [seconds for seconds in (first.peak_seconds, second.peak_seconds) if seconds]
    return MomentWords(
        what=_cut(f"{first.what.rstrip(' .')}, then {_small(second.what)}", LONGEST_WHAT),
        visible=_cut(_both(first.visible, second.visible), LONGEST_WHAT),
        action=first.action or second.action,
        repeat=max(first.repeat, second.repeat, key=REPEATS.index),
        peak_seconds=min(peaks) if peaks else None,
        hazards=_all(first.hazards, second.hazards),
        cues=_all(first.cues, second.cues),
        prepare=_all(first.prepare, second.prepare),
        note=_cut(_both(first.note, second.note), LONGEST_WHAT),
        angle=first.angle or second.angle,
        distance=first.distance or second.distance,
        motion=first.motion or second.motion,
        light=first.light or second.light,
        interest=max(first.interest, second.interest),
    )


def parts_of(moment: MomentWords, first: str, second: str) -> tuple[MomentWords, MomentWords]:
    """One moment as two that say the same but for what happens."""
    return replace(moment, what=_cut(first, LONGEST_WHAT)), replace(
        moment, what=_cut(with_capital(second), LONGEST_WHAT)
    )


def parts_suggested(what: str) -> tuple[str, str]:
    """Where the words of a moment could be parted: at `then`, a semicolon, `and` or a comma; the second part is empty when nowhere."""
    for joint in _JOINTS:
        first, *rest = re.split(joint, what, maxsplit=1, flags=re.IGNORECASE)
        if rest and first.strip() and rest[0].strip():
            return first.strip(), with_capital(rest[0].strip())
    return what, ""


def _all(first: tuple[str, ...], second: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(dict.fromkeys((*first, *second)))


def _both(first: str, second: str) -> str:
    return "; ".join(dict.fromkeys(part for part in (first, second) if part))


def _small(text: str) -> str:
    return text[:1].lower() + text[1:]


def _cut(text: str, longest: int) -> str:
    return text if len(text) <= longest else f"{text[: longest - 2].rstrip()} …"
