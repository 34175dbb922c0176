"""From the steps of a recipe to the moments a camera could wait for. A draft the photographer edits with the cook."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from shoots.plan.lexicon import Action, Lexicon, find_actions, find_own_words
from shoots.plan.steps import Step

DRAFT = "Read from the recipe by a word list. About one in ten is wrong or missing: go through it with the cook."

HOW_OFTEN = {
    "free": "Again as often as you like.",
    "keep": "Again, if part of it is held back.",
    "many": "One chance with each piece: have spares.",
    "once": "Once only. Camera ready before the cook starts.",
}


@dataclass(frozen=True, slots=True)
class MomentDraft:
    """Something to be seen in one step: its words (`clause`), what, how long its peak lasts (seconds), how often it can be had, from where, and what it asks for.

    `peak` is what the step waits for ("until the rim is golden"); the note begins with it. `key` tells a moment that is kept from others of its kind.
    """

    step_number: int
    action_id: str
    word: str
    clause: str
    visible: str
    repeat: str
    peak_seconds: int
    hazards: tuple[str, ...]
    cues: tuple[str, ...]
    note: str
    angle: str
    distance: str
    motion: str
    light: str
    prepare: tuple[str, ...]
    interest: int
    peak: str = ""
    key: int | None = None

    @property
    def is_once_only(self) -> bool:
        """Is there a single chance, so that the camera must be ready first?"""
        return self.repeat == "once"


def draft_moments(steps: Iterable[Step], lexicon: Lexicon) -> tuple[MomentDraft, ...]:
    """The moments of all steps in order; an action counts once a step. Steps without a known action give none; in another language only the
    words the studio taught are found."""
    moments = []
    for step in steps:
        found = find_actions(step.text, lexicon) if step.language == "en" else find_own_words(step.text, lexicon)
        starts = [each.start for each in found]
        for each in found:
            peak = _peak(step.text, each.start, starts)
            moments.append(_moment(step.number, each.word, each.clause, lexicon.action(each.action_id), peak))
    return tuple(moments)


def moment_of(action_id: str, step_number: int, lexicon: Lexicon) -> MomentDraft:
    """The moment of an action the person chose from the list. KeyError when the lexicon has no such action."""
    action = lexicon.action(action_id)
    return _moment(step_number, action.words[0], action.words[0], action)


def worth_a_picture(moments: Sequence[MomentDraft], *, least: int = 4, per_step: int = 2) -> tuple[MomentDraft, ...]:
    """The moments of interest `least` or more, at most `per_step` a step (the more interesting, then the earlier), in their order."""
    chosen: set[int] = set()
    for number in {moment.step_number for moment in moments}:
        candidates = [
            place for place, moment in enumerate(moments) if moment.step_number == number and moment.interest >= least
        ]
        chosen.update(sorted(candidates, key=lambda place: (-moments[place].interest, place))[:per_step])
    return tuple(moments[place] for place in sorted(chosen))


def steps_without_moments(steps: Iterable[Step], moments: Iterable[MomentDraft]) -> tuple[Step, ...]:
    """The steps in which no action was recognised: advice, or words the list does not know."""
    known = {moment.step_number for moment in moments}
    return tuple(step for step in steps if step.number not in known)


def hazards_of(moments: Iterable[MomentDraft]) -> tuple[str, ...]:
    """All hazards of the moments, each once, in the order they come."""
    return tuple(dict.fromkeys(hazard for moment in moments for hazard in moment.hazards))


_UNTIL = re.compile(r"\b(?:until|till)\s[^.;:!?(),]{2,90}(?![^\W\d_])", re.IGNORECASE)


def _peak(text: str, start: int, starts: Sequence[int]) -> str:
    """The words of doneness that belong to the action at `start`: in its sentence, before another action begins."""
    found = _UNTIL.search(text, start, start + 400)
    if (
        not found
        or re.search(r"[.;!?]\s", text[start : found.start()])
        or any(start < other < found.start() for other in starts)
    ):
        return ""
    words = found[0]
    for other in starts:  # `until the onions soften and stir`: the peak ends before the next thing to do
        if found.start() < other < found.end() and re.search(r"\b(?:and|then|or)\s+$", text[found.start() : other]):
            words = text[found.start() : other]
            break
    return re.sub(r"(?:\s+(?:and|then|or))*\s*$", "", words)


def _moment(step_number: int, word: str, clause: str, action: Action, peak: str = "") -> MomentDraft:
    return MomentDraft(
        step_number=step_number,
        action_id=action.id,
        word=word,
        clause=clause,
        visible=action.visible,
        repeat=action.repeat,
        peak_seconds=action.moment_seconds,
        hazards=action.hazards,
        cues=action.cues,
        note="; ".join(part for part in (peak, action.note) if part),
        angle=action.angle,
        distance=action.distance,
        motion=action.motion,
        light=action.light,
        prepare=action.prepare,
        interest=action.interest,
        peak=peak,
    )
