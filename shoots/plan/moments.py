"""From the steps of a recipe to the moments a camera could wait for. A draft the photographer edits with the cook."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from shoots.plan.lexicon import Action, Lexicon, find_actions
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
    """Something to be seen in one step: its words (`clause`), what, how long its peak lasts (seconds), how often it can be had, from where, and what it asks for."""

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

    @property
    def is_once_only(self) -> bool:
        """Is there a single chance, so that the camera must be ready first?"""
        return self.repeat == "once"


def draft_moments(steps: Iterable[Step], lexicon: Lexicon) -> tuple[MomentDraft, ...]:
    """The moments of all steps in order; an action counts once a step. Steps without a known action, or in another language, give none."""
    return tuple(
        _moment(step.number, found.word, found.clause, lexicon.action(found.action_id))
        for step in steps
        if step.language == "en"
        for found in find_actions(step.text, lexicon)
    )


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


def _moment(step_number: int, word: str, clause: str, action: Action) -> MomentDraft:
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
        note=action.note,
        angle=action.angle,
        distance=action.distance,
        motion=action.motion,
        light=action.light,
        prepare=action.prepare,
        interest=action.interest,
    )
