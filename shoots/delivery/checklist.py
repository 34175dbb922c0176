"""What is still missing before the pictures of a shoot go to the client, picture by picture, and how to mend it.

Each agreed picture has to be present, checked, released for its use, captioned and licensed; then it is sent, and received.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum


class Step(StrEnum):
    """The checks, in the order in which they are told."""

    PRESENT = "present"
    CHECKED = "checked"
    RELEASED = "released"
    CAPTIONED = "captioned"
    RIGHTS = "rights"
    SENT = "sent"
    RECEIVED = "received"


BEFORE_SENDING = (Step.PRESENT, Step.CHECKED, Step.RELEASED, Step.CAPTIONED, Step.RIGHTS)

NAMES = {
    Step.PRESENT: "There",
    Step.CHECKED: "Checked",
    Step.RELEASED: "Released",
    Step.CAPTIONED: "Captioned",
    Step.RIGHTS: "Licensed",
    Step.SENT: "Sent",
    Step.RECEIVED: "Received",
}


class Fix(StrEnum):
    """Where the way round leads."""

    PICTURES = "pictures"
    PICTURE = "picture"
    LICENCE = "licence"
    ESTIMATE = "estimate"


@dataclass(frozen=True, slots=True, kw_only=True)
class PictureFacts:
    """One picture as far as delivery asks. ``not_released``: what is missing in words, empty when cleared."""

    key: int
    number: str
    is_checked: bool
    has_caption: bool
    not_released: str
    has_licence: bool
    is_sent: bool
    is_received: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Promise:
    """One agreed picture with the pictures that keep it; ``key`` is None for a chosen picture nobody promised."""

    key: int | None
    title: str
    pictures: tuple[PictureFacts, ...]


@dataclass(frozen=True, slots=True)
class Missing:
    """One thing that is missing: the step, what is said, where it is mended, for which picture."""

    step: Step
    words: str
    fix: Fix
    picture: int | None = None


@dataclass(frozen=True, slots=True)
class Line:
    """One agreed picture in the checklist."""

    promise: Promise
    done: frozenset[Step]
    missing: tuple[Missing, ...]

    @property
    def is_ready(self) -> bool:
        """True when nothing is missing before it may be sent."""
        return not self.missing

    @property
    def is_sent(self) -> bool:
        return Step.SENT in self.done

    @property
    def steps(self) -> list[tuple[Step, str, bool]]:
        """Each step with its name and whether it is done."""
        return [(step, NAMES[step], step in self.done) for step in Step]


@dataclass(frozen=True, slots=True)
class Checklist:
    """All agreed pictures of a shoot. ``has_licence_to_place``: an agreed licence waits to be placed on pictures."""

    lines: tuple[Line, ...]

    @property
    def to_send(self) -> tuple[Line, ...]:
        """Ready and not sent yet."""
        return tuple(line for line in self.lines if line.is_ready and not line.is_sent)

    @property
    def blocked(self) -> tuple[Line, ...]:
        """Not sent, and something is missing."""
        return tuple(line for line in self.lines if not line.is_ready and not line.is_sent)

    @property
    def sent(self) -> tuple[Line, ...]:
        return tuple(line for line in self.lines if line.is_sent)

    @property
    def received(self) -> tuple[Line, ...]:
        return tuple(line for line in self.lines if Step.RECEIVED in line.done)

    @property
    def can_deliver(self) -> bool:
        """True when there is something to send and nothing blocks."""
        return bool(self.to_send) and not self.blocked

    @property
    def pictures_to_send(self) -> tuple[int, ...]:
        """The keys of the pictures that are ready and not sent yet, each once, in order."""
        keys = (picture.key for line in self.to_send for picture in line.promise.pictures)
        return tuple(dict.fromkeys(keys))


def check(promises: Iterable[Promise], *, has_licence_to_place: bool) -> Checklist:
    """The checklist of a shoot."""
    return Checklist(tuple(_line(promise, has_licence_to_place=has_licence_to_place) for promise in promises))


def _line(promise: Promise, *, has_licence_to_place: bool) -> Line:
    pictures = promise.pictures
    if not pictures:
        missing = Missing(Step.PRESENT, "No picture keeps this promise yet.", Fix.PICTURES)
        return Line(promise, frozenset(), (missing,))
    found: list[Missing] = []
    for picture in pictures:
        if not picture.is_checked:
            found.append(Missing(Step.CHECKED, f"{picture.number} is not checked yet.", Fix.PICTURE, picture.key))
        if picture.not_released:
            words = f"{picture.number}: {picture.not_released}."
            found.append(Missing(Step.RELEASED, words, Fix.PICTURE, picture.key))
        if not picture.has_caption:
            found.append(Missing(Step.CAPTIONED, f"{picture.number} has no caption.", Fix.PICTURE, picture.key))
        if not picture.has_licence:
            words = f"No licence stands on {picture.number}."
            fix = Fix.LICENCE if has_licence_to_place else Fix.ESTIMATE
            found.append(Missing(Step.RIGHTS, words, fix, picture.key))
    steps_missing = {each.step for each in found}
    done = {step for step in BEFORE_SENDING if step not in steps_missing}
    if all(picture.is_sent for picture in pictures):
        done.add(Step.SENT)
    if all(picture.is_received for picture in pictures):
        done.add(Step.RECEIVED)
    in_order = sorted(found, key=lambda each: BEFORE_SENDING.index(each.step))
    return Line(promise, frozenset(done), tuple(in_order))


def why_not(checklist: Checklist) -> str:
    """Why nothing can be delivered as it stands, in a sentence; empty when it can."""
    if checklist.can_deliver:
        return ""
    if not checklist.lines:
        return "There is no agreed picture and no chosen one to deliver."
    if not checklist.blocked:
        return "Every picture is delivered."
    count = len(checklist.blocked)
    first = checklist.blocked[0].missing[0].words
    if count == 1:
        return f"It waits for one picture. {first}"
    return f"It waits for {count} pictures. First: {first}"


def in_rows(lines: Sequence[Line]) -> tuple[Line, ...]:
    """Blocked ones first, then ready, sent and received."""

    def rank(line: Line) -> int:
        if Step.RECEIVED in line.done:
            return 3
        return 2 if line.is_sent else 1 if line.is_ready else 0

    return tuple(sorted(lines, key=rank))
