"""The shots a dish and a day ask for: those from its moments and those always wanted (common practice, no source)."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from shared.words.formats import with_capital
from shoots.plan.moments import MomentDraft, worth_a_picture
from shoots.plan.titles import tell_apart, title_of

MUST, NICE = "must", "nice"
FIRST_LIGHT = "first light"
DIM_LIGHT = "key light dimmed"


@dataclass(frozen=True, slots=True)
class ShotDraft:
    """A picture to take: `kind` is `moment` for one out of the recipe, `promised` for one agreed, else the name of the always-wanted picture.

    Angle, distance, motion and light are as the moment wants them; ``cues``, ``hazard`` and ``keep_back`` are what the cook is told.
    """

    title: str
    wanted: str
    angle: str
    distance: str
    kind: str
    note: str = ""
    step_number: int | None = None
    action_id: str | None = None
    motion: str = ""
    light: str = ""
    cues: tuple[str, ...] = ()
    hazard: str = ""
    keep_back: str = ""
    frame_mm: int | None = None  # what the short side shows, where the distance does not say it
    moment_key: int | None = None


PORTRAIT_MM = 600  # head and hands, along the short side
SAFETY_MM = 470  # a plate of 28 cm with its air fills 378 mm; a quarter more all round
INGREDIENTS = ShotDraft(
    "Ingredients laid out", NICE, "overhead", "wide", "ingredients", "Before any heat, in the order they go in."
)
EMPTY_SET = ShotDraft(
    "Empty set", MUST, "three-quarter", "medium", "empty set", "Surface, cloth and empty plate, before the dish comes."
)
HEROES = (
    ShotDraft(
        "Hero, three-quarter",
        MUST,
        "three-quarter",
        "medium",
        "hero",
        "The cook plates, the camera shoots at once.",
        cues=("call_me", "slow", "hands_out"),
    ),
    ShotDraft(
        "Safety frame, three-quarter",
        MUST,
        "three-quarter",
        "medium",
        "safety",
        "A step back, same angle: wider than the crop on all sides.",
        frame_mm=SAFETY_MM,
    ),
    ShotDraft("Hero, from above", MUST, "overhead", "medium", "hero above"),
    ShotDraft(
        "Safety frame, from above",
        MUST,
        "overhead",
        "medium",
        "safety above",
        "Higher, same angle: wider than the crop on all sides.",
        frame_mm=SAFETY_MM,
    ),
)
DETAIL = ShotDraft("Tight detail", NICE, "three-quarter", "tight", "detail")
FIRST_CUT = ShotDraft(
    "First cut or spoon",
    NICE,
    "three-quarter",
    "tight",
    "first cut",
    "Last of the dish: once only on this plate.",
    motion="either",
    cues=("wait", "slow", "hold"),
)
HANDS = ShotDraft(
    "Hands at work",
    NICE,
    "three-quarter",
    "tight",
    "hands",
    "Recognisable by a ring, a scar or a tattoo? Then a release is needed.",
    motion="either",
    cues=("slow", "hold"),
)
DIM_CARD = ShotDraft(
    f"Grey card, {DIM_LIGHT}",
    MUST,
    "three-quarter",
    "medium",
    "grey card",
    "A new light: card and a test for flicker, before the flame.",
    light="dim key",
)

HANDS_AT_WORK = frozenset(
    {"crumble", "grate", "cut", "peel", "tear", "crack", "separate", "knead", "roll", "shape", "fill", "wrap", "pipe", "brush", "spread", "coat", "squeeze", "skewer", "mash", "garnish", "plate", "sprinkle"}
)  # fmt: skip
ON_THE_DISH = frozenset({"plate", "garnish", "sprinkle", "dust", "drizzle", "unmould", "taste"})
CUTS_THE_DISH = frozenset({"carve"})
HOT = ("hot", "oil", "flame", "steam")


def draft_shots(moments: Sequence[MomentDraft]) -> tuple[ShotDraft, ...]:
    """The shots of one dish in the order they are taken.

    Ingredients before any heat, the moments, hands, the empty set before the dish comes, plating, each hero with a safety frame wider than its
    crop, the tight detail, and last what ends the dish: its first cut or spoon. A moment that comes once only, or earns a frame most (interest
    5), is a must. Where a moment asks for a dimmed key light, a grey card of that light stands before it.
    """
    chosen = worth_a_picture(moments)
    at_work, plating, cutting = _parts(chosen)
    hands = () if any(moment.action_id in HANDS_AT_WORK for moment in chosen) else (HANDS,)
    end = [_shot(moment) for moment in cutting] or [FIRST_CUT]
    shots = [
        INGREDIENTS, *map(_shot, at_work), *hands, EMPTY_SET, *map(_shot, plating), *HEROES, DETAIL, *end,
    ]  # fmt: skip
    dimmed = next((place for place, shot in enumerate(shots) if shot.light.startswith("dim")), None)
    if dimmed is not None:
        shots.insert(dimmed, DIM_CARD)
    titles = tell_apart(shot.title for shot in shots)
    return tuple(replace(shot, title=title) for shot, title in zip(shots, titles, strict=True))


def draft_day_shots(*, cook: str = "the cook", lights: Iterable[str] = (FIRST_LIGHT,)) -> tuple[ShotDraft, ...]:
    """The shots of the day that belong to no dish: a grey card at each light, the room, and the portrait of the cook last."""
    room = ShotDraft("The room", NICE, "level", "wide", "room", "No guests in the picture.")
    portrait = ShotDraft(
        f"Portrait of {cook}",
        NICE,
        "level",
        "medium",
        "portrait",
        "Last, in a clean apron. Release signed.",
        frame_mm=PORTRAIT_MM,
    )
    return (*map(grey_card, lights), room, portrait)


def grey_card(light: str) -> ShotDraft:
    """The card at a new light, named as it is said: *window*, *lamp*."""
    note = "At the new light: ceiling and hood lamps off, and a test for flicker."
    return ShotDraft(f"Grey card, {light}", MUST, "three-quarter", "medium", "grey card", note)


def hazard_words(hazards: Sequence[str], celsius: int | None = None) -> str:
    """What is hot or sharp, in one line, with the temperature where something is hot: *Hot oil, steam, 180 °C*."""
    words = ", ".join(hazards)
    words = with_capital(words)
    is_hot = any(hot in hazard for hazard in hazards for hot in HOT)
    return f"{words}, {celsius} °C" if celsius and is_hot else words


def _parts(chosen: Sequence[MomentDraft]) -> tuple[list[MomentDraft], list[MomentDraft], list[MomentDraft]]:
    """The moments before the empty set; those at the end that finish the dish on its plate; and those that cut it, which end it."""
    cutting = [moment for moment in chosen if moment.action_id in CUTS_THE_DISH]
    rest = [moment for moment in chosen if moment not in cutting]
    first = len(rest)
    while first and rest[first - 1].action_id in ON_THE_DISH:
        first -= 1
    return rest[:first], rest[first:], cutting


def _shot(moment: MomentDraft) -> ShotDraft:
    return ShotDraft(
        title=title_of(moment.clause, moment.visible),
        wanted=MUST if moment.is_once_only or moment.interest == 5 else NICE,
        angle=moment.angle,
        distance=moment.distance,
        kind="moment",
        note="; ".join(part for part in (moment.visible, moment.note) if part),
        step_number=moment.step_number,
        action_id=moment.action_id,
        motion=moment.motion,
        light=moment.light,
        cues=moment.cues,
        hazard=hazard_words(moment.hazards),
        keep_back="; ".join(moment.prepare),
        moment_key=moment.key,
    )
