"""The shots a dish and a day ask for: those from its moments and those always wanted (common practice, no source)."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from shoots.plan.moments import MomentDraft, worth_a_picture

MUST, NICE = "must", "nice"


@dataclass(frozen=True, slots=True)
class ShotDraft:
    """A picture to take: `kind` is `moment` for one out of the recipe, else the name of the always-wanted picture."""

    title: str
    wanted: str
    angle: str
    distance: str
    kind: str
    note: str = ""
    step_number: int | None = None
    action_id: str | None = None


def draft_shots(moments: Sequence[MomentDraft]) -> tuple[ShotDraft, ...]:
    """The shots of one dish in the order they are taken: ingredients before any heat, the moments, the empty set, the heroes, then the spoon.

    A moment that comes once only, or earns a frame most (interest 5), is a must.
    """
    chosen = worth_a_picture(moments)
    before = (
        ShotDraft(
            "Ingredients laid out", NICE, "overhead", "wide", "ingredients", "Before any heat, in the order they go in."
        ),
        ShotDraft(
            "Empty set",
            MUST,
            "three-quarter",
            "medium",
            "empty set",
            "Surface, cloth and empty plate, before the dish comes.",
        ),
    )
    after = (
        ShotDraft(
            "Hero, three-quarter",
            MUST,
            "three-quarter",
            "medium",
            "hero three-quarter",
            "The cook plates, the camera shoots at once.",
        ),
        ShotDraft("Safety frame, wider than the crop", MUST, "three-quarter", "wide", "safety frame"),
        ShotDraft("Hero, from above", MUST, "overhead", "medium", "hero from above"),
        ShotDraft("Tight detail", NICE, "three-quarter", "tight", "detail"),
        ShotDraft(
            "First cut or spoon",
            NICE,
            "three-quarter",
            "tight",
            "first cut",
            "Last of the dish: once only on this plate.",
        ),
    )
    hands = () if any(moment.action_id in HANDS_AT_WORK for moment in chosen) else (_hands(),)
    return (before[0], *(_shot(moment) for moment in chosen), *hands, before[1], *after)


def draft_day_shots(*, cook: str = "the cook", lights: Iterable[str] = ("first light",)) -> tuple[ShotDraft, ...]:
    """The shots of the day that belong to no dish: a grey card at each new light, the room, and the portrait of the cook last."""
    cards = (
        ShotDraft(
            f"Grey card, {light}",
            MUST,
            "three-quarter",
            "medium",
            "grey card",
            "At each new light, with a test for flicker.",
        )
        for light in lights
    )
    room = ShotDraft("The room", NICE, "level", "wide", "room", "No guests in the picture.")
    portrait = ShotDraft(
        f"Portrait of {cook}", NICE, "level", "medium", "portrait", "Last, in a clean apron. Release signed."
    )
    return (*cards, room, portrait)


HANDS_AT_WORK = frozenset(
    {"crumble", "grate", "cut", "peel", "tear", "crack", "separate", "knead", "roll", "shape", "fill", "wrap", "pipe", "brush", "spread", "coat", "squeeze", "skewer", "mash", "garnish", "plate", "sprinkle"}
)  # fmt: skip


def _hands() -> ShotDraft:
    return ShotDraft(
        "Hands at work",
        NICE,
        "three-quarter",
        "tight",
        "hands",
        "Recognisable by a ring, a scar or a tattoo? Then a release is needed.",
    )


def _shot(moment: MomentDraft) -> ShotDraft:
    wanted = MUST if moment.is_once_only or moment.interest == 5 else NICE
    title = moment.clause[:1].upper() + moment.clause[1:]
    note = "; ".join(part for part in (moment.visible, moment.note) if part)
    return ShotDraft(title, wanted, moment.angle, moment.distance, "moment", note, moment.step_number, moment.action_id)
