"""What is read for the plan: the kitchen's word tables, recipes, moments, the shot list, and what goes on the sheets."""

from __future__ import annotations

import re
import tomllib
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime, time
from decimal import Decimal
from functools import cache
from importlib import resources
from typing import Any

from django.db.models import Prefetch, QuerySet, prefetch_related_objects

from clients.models import Person
from shared.business.queries import business_or_none
from shared.words.formats import with_capital
from shoots.brief.models import AgreedPicture, Dish, Part, Shoot, ShootPerson
from shoots.plan.allergens import (
    CONTAINS,
    AllergenWords,
    SuggestedAllergen,
    allergen_key_of,
    class_of,
    read_allergen_words,
    suggest_allergens,
)
from shoots.plan.ingredients import Ingredient, read_ingredient
from shoots.plan.lexicon import Cue, Lexicon, read_cues, read_lexicon
from shoots.plan.models import Interest, Moment, Motion, Recipe, SheetChoice, Shot, ShotKind, Stage, Step
from shoots.plan.moments import MomentDraft, moment_of
from shoots.plan.serving import Titled, match_pictures
from shoots.plan.sheet_words import SheetWords, day_on, read_sheet_words
from shoots.plan.shots import MUST, ShotDraft, draft_day_shots, draft_shots
from shoots.plan.snapshot import CallPerson, CallSheet, CallTime, CookDish, CookLine, CookSheet, CueSaid, DishAllergens
from shoots.plan.time_left import Hours, ShotTime, is_planned, minutes_together, over_by
from shoots.plan.titles import tell_apart

MOST_IN_CELL = 3  # of the table of dishes and stages; the list has them all
ALWAYS_WANTED = frozenset(ShotKind) - {ShotKind.MOMENT, ShotKind.PROMISED, ShotKind.GREY_CARD}
# Where the cook says "now" and nobody else. Common practice, no source. Hazards are drafted in English and typed in English or German.
NEAR_HEAT = re.compile(r"flame|flamm|torch|hot (?:oil|fat|sugar)|hei(?:ß|ss)(?:es|er) (?:öl|fett|zucker)|blade|klinge|kni(?:fe|ves)|messer", re.IGNORECASE)  # fmt: skip
ADVERTISING = "advertising"  # the class of use in `shoots.uses`
KEPT = 1_000_000  # a moment kept by hand, or of no step, is a step of its own, so that the limit of two a step does not drop it


@cache
def kitchen_lexicon() -> Lexicon:
    """The actions a recipe can name (`actions.toml`)."""
    return read_lexicon(_table("actions.toml"))


@cache
def cue_words() -> dict[str, Cue]:
    """The closed list of cues in all their languages (`cues.toml`)."""
    return read_cues(_table("cues.toml"))


@cache
def allergen_words() -> AllergenWords:
    """The words that point to an allergen (`allergens.toml`)."""
    return read_allergen_words(_table("allergens.toml"))


@cache
def sheet_words() -> SheetWords:
    """The words of the cook's sheet in its languages (`sheet_words.toml`, `drafted_words.toml`)."""
    return read_sheet_words({**_table("sheet_words.toml"), **_table("drafted_words.toml")})


def _table(name: str) -> dict[str, object]:
    return tomllib.loads((resources.files("shoots.plan") / name).read_text(encoding="utf-8"))


# The recipe of a dish


def recipe_of(dish: Dish) -> Recipe | None:
    """A dish's recipe with its steps and their moments, or nothing yet."""
    moments = Prefetch("moments", queryset=Moment.objects.order_by("order", "pk"))
    return (
        Recipe.objects.filter(dish=dish)
        .prefetch_related(Prefetch("steps", queryset=Step.objects.prefetch_related(moments)))
        .first()
    )


def ingredients_of(recipe: Recipe) -> tuple[Ingredient, ...]:
    """The ingredients as they were read and corrected by hand, in their order."""
    return tuple(_ingredient(line) for line in recipe.ingredients)


def _ingredient(line: Mapping[str, Any]) -> Ingredient:
    if "name" not in line:  # kept before lines could be corrected
        return read_ingredient(line["text"], line.get("section", ""))
    words = {name: line.get(name, "") for name in ("text", "name", "unit", "preparation", "note", "section", "doubt")}
    low, high = line.get("quantity"), line.get("quantity_to")
    return Ingredient(**words, quantity=Decimal(low) if low else None, quantity_to=Decimal(high) if high else None)


def allergens_suggested(recipe: Recipe | None, *, us: bool = False) -> tuple[SuggestedAllergen, ...]:
    """What the words of a recipe point to, with ``us`` on the US list: a question for the cook, never an answer."""
    if recipe is None:
        return ()
    steps = [step.text for step in recipe.steps.all()]
    return suggest_allergens([line["text"] for line in recipe.ingredients], allergen_words(), steps=steps, us=us)


def short_name(allergen: SuggestedAllergen) -> str:
    """The allergen in the few words that stand on a sheet: `milk`, `nuts`, `cereals containing gluten`."""
    return class_of(allergen.name).lower()


# Moments and the shots drafted from them


@dataclass(frozen=True)
class ShotToCome:
    """A shot the list does not have yet: of a dish's moment, one of the always-wanted, or one for a promised picture.

    ``before``: the shots of the list that are taken after it.
    """

    draft: ShotDraft
    dish: Dish | None = None
    moment: Moment | None = None
    picture: AgreedPicture | None = None
    before: frozenset[int] = frozenset()


def moment_draft(moment: Moment) -> MomentDraft:
    """A moment of the table as the reader's value; what the row leaves open is as usual for its kind.

    One that was kept or written by hand always earns a frame, unless somebody said that no picture of it is wanted.
    """
    lexicon = kitchen_lexicon()
    is_known = lexicon.knows(moment.action)
    is_kept = not moment.is_draft
    place = KEPT + moment.pk if is_kept or moment.step is None else moment.step.order
    draft = moment_of(moment.action if is_known else "add", place, lexicon)
    return replace(
        draft,
        action_id=moment.action if is_known else f"own-{moment.pk}",
        clause=moment.what,
        repeat=moment.repeat,
        peak_seconds=moment.peak_seconds or draft.peak_seconds,
        hazards=tuple(moment.hazards),
        cues=tuple(moment.cues),
        prepare=tuple(moment.prepare),
        note=moment.note,
        visible=moment.visible or (draft.visible if is_known else ""),
        angle=moment.angle or draft.angle,
        distance=moment.distance or draft.distance,
        motion=moment.motion or draft.motion,
        light=moment.light or (draft.light if is_known else ""),
        interest=max(moment.interest, Interest.OFTEN) if is_kept and moment.interest else moment.interest,
        key=moment.pk,
    )


def shots_to_come(
    shoot: Shoot,
    shots: Iterable[Shot],
    *,
    unserved: list[AgreedPicture] | None = None,
    dishes: Iterable[Dish] | None = None,
) -> list[ShotToCome]:
    """What *Make the shot list* would add to ``shots``, in order: nothing that is on the list already. ``unserved``, the promised pictures
    without a shot, and ``dishes``, those of ``dishes_with_recipes``, where they were read before.

    The always-wanted shots of a dish and of the day are drafted once, while none of them is on the list, whatever was written by hand.
    """
    shots = list(shots)
    pictures = promised_without_a_shot(shoot) if unserved is None else unserved
    of_dish = defaultdict[int | None, list[Shot]](list)
    for shot in shots:
        of_dish[shot.dish_id].append(shot)
    is_drafted = any(shot.kind in ALWAYS_WANTED for shot in of_dish[None])
    day = () if is_drafted else draft_day_shots(cook=cook_name(shoot) or "the cook")
    day = tuple(draft for draft in day if draft.title not in {shot.title for shot in of_dish[None]})
    found = [ShotToCome(draft) for draft in day if draft.kind != ShotKind.PORTRAIT]
    for dish in dishes_with_recipes(shoot) if dishes is None else dishes:
        found += _to_come_of(dish, of_dish[dish.pk])
    found += [ShotToCome(draft) for draft in day if draft.kind == ShotKind.PORTRAIT]
    return _told_apart([*found, *_shots_for_pictures(pictures, shots, found)], shots)


def _to_come_of(dish: Dish, shots: list[Shot]) -> list[ShotToCome]:
    """What the list lacks of a dish: its moments, the always-wanted while there is none of them, and the grey card of a light that comes with a moment."""
    moments = {moment.pk: moment for moment in dish.moments.all()}
    drafts = draft_shots([moment_draft(each) for each in moments.values()])
    has_moment, kinds = {shot.moment_id for shot in shots}, {shot.kind for shot in shots}
    is_drafted = not ALWAYS_WANTED.isdisjoint(kinds)
    lit = [draft for draft in drafts if draft.kind == ShotKind.MOMENT and draft.light.startswith("dim")]
    is_new_light = any(draft.moment_key not in has_moment for draft in lit)
    found, before = list[ShotToCome](), set[int]()
    for draft in reversed(drafts):
        moment = moments[draft.moment_key] if draft.moment_key is not None else None
        if moment:
            is_missing = moment.pk not in has_moment
        elif draft.kind == ShotKind.GREY_CARD:
            is_missing = draft.kind not in kinds and (is_new_light or not is_drafted)
        else:
            is_missing = not is_drafted
        if is_missing:
            found.append(ShotToCome(draft, dish, moment, before=frozenset(before)))
        elif moment:
            before |= {shot.pk for shot in shots if shot.moment_id == moment.pk}
        else:
            before |= {shot.pk for shot in shots if shot.kind == draft.kind}
    return found[::-1]


def _told_apart(found: list[ShotToCome], shots: list[Shot]) -> list[ShotToCome]:
    """No two shots of a dish have one title, those on the list included."""
    taken = defaultdict[int | None, list[str]](list)
    for shot in shots:
        taken[shot.dish_id].append(shot.title)
    told = []
    for each in found:
        known = taken[each.dish.pk if each.dish else None]
        [title] = tell_apart([each.draft.title], known)
        known.append(title)
        told.append(replace(each, draft=replace(each.draft, title=title)))
    return told


def cook_name(shoot: Shoot) -> str:
    """Who cooks, or nothing."""
    cook = cook_of(shoot)
    return cook.name if cook else ""


def cook_of(shoot: Shoot) -> Person | None:
    """The person who cooks at a shoot."""
    return next((row.person for row in shoot.people.all() if row.part == Part.COOK), None)


def _shots_for_pictures(pictures: list[AgreedPicture], shots: list[Shot], found: list[ShotToCome]) -> list[ShotToCome]:
    """The promised pictures that no shot could serve: each gets one of its own name."""
    served = match_pictures(titled_pictures(pictures), [*titled_shots(shots), *_titled_to_come(found)])
    return [
        ShotToCome(ShotDraft(picture.title, MUST, "", "", ShotKind.PROMISED), picture.dish, None, picture)
        for picture in pictures
        if picture.pk not in served
    ]


def titled_pictures(pictures: Iterable[AgreedPicture]) -> list[Titled]:
    return [Titled(each.pk, each.title, each.dish_id, each.dish.name if each.dish else "") for each in pictures]


def titled_shots(shots: Iterable[Shot]) -> list[Titled]:
    return [Titled(each.pk, each.title, each.dish_id) for each in shots]


def _titled_to_come(found: list[ShotToCome]) -> list[Titled]:
    return [
        Titled(-place - 1, each.draft.title, each.dish.pk if each.dish else None) for place, each in enumerate(found)
    ]


# The shot list


def shots_of(shoot: Shoot) -> QuerySet[Shot]:
    """The shot list in order, with what its rows name (``serves``: promised pictures, ``taken``: what came in for them), in a constant number of queries."""
    promised = AgreedPicture.objects.select_related("dish")
    serves, taken = Prefetch("agreed_pictures", promised, to_attr="serves"), Prefetch("pictures", to_attr="taken")
    return shoot.shots.select_related("dish").prefetch_related(serves, taken)


LOOKS = {
    "planned": ("open", "Planned", "dot"),
    "done": ("done", "Done", "check"),
    "repeat": ("look", "Repeat", "again"),
    "skipped": ("wait", "Skipped", "next"),
}


@dataclass(frozen=True)
class ShotLine:
    """A row of the list in words: what it is, the promised pictures with what their frames have to be, and what was substituted."""

    shot: Shot
    key: str
    words: str
    serves: str
    substituted: str
    look: tuple[str, str, str]

    @property
    def is_open(self) -> bool:
        return self.shot.state in (Shot.State.PLANNED, Shot.State.REPEAT)


def lines_of(shots: Iterable[Shot]) -> list[ShotLine]:
    """The rows of the list, from ``shots_of``."""
    return [
        ShotLine(shot, str(shot.pk), _line_words(shot), _serves_words(shot), substituted_words(shot), LOOKS[shot.state])
        for shot in shots
    ]


def _line_words(shot: Shot) -> str:
    whose = shot.dish.name if shot.dish else "Of the day"
    when = shot.planned_words
    wanted = "Must have" if shot.is_must else "Nice to have"
    motion = shot.get_motion_display().lower() if shot.motion in (Motion.FREEZE, Motion.BLUR) else ""
    light = f"light {shot.light}" if shot.light else ""
    lens = " ".join(
        part
        for part in (
            f"{shot.lens_mm} mm" if shot.lens_mm else "",
            f"f/{shot.f_number.normalize():f}" if shot.f_number else "",
            f"{shot.shutter} s" if shot.shutter else "",
        )
        if part
    )
    how = ", ".join(part for part in (wanted, shot.angle, shot.distance, motion, light, lens) if part)
    return f"{', '.join(part for part in (whose, when) if part)}. {how}."


def _serves_words(shot: Shot) -> str:
    pictures = shot.serves  # type: ignore[attr-defined]
    return "; ".join(", ".join(part for part in (each.title, each.purpose, each.asks) if part) for each in pictures)


def substituted_words(shot: Shot) -> str:
    """What was substituted in a shot, as a record; empty while nobody answered."""
    if shot.substitution == Shot.Substitution.NOTHING:
        return "Nothing substituted"
    if shot.substitution == Shot.Substitution.SOMETHING:
        return f"Substituted: {shot.substituted_what}, by {shot.substituted_by}: {shot.substituted_why}"
    return ""


def unasked_of(shots: Iterable[Shot]) -> list[Shot]:
    """The planned shots of ``shots_of`` that nobody asked for: nice to have, and for no promised picture."""
    return [
        shot
        for shot in shots
        if shot.state == Shot.State.PLANNED and not shot.is_must and not shot.serves  # type: ignore[attr-defined]
    ]


@dataclass(frozen=True)
class TimeLeft:
    """How far the shots still to be taken run over the hours (minutes, 0: they fit), by planned times or by the usual minutes; which of them
    nobody asked for, what leaving those saves, and how many were left before."""

    over: int
    by_plan: bool
    unasked: list[Shot]
    saves: int
    left: int


def time_left(shoot: Shoot, shots: Iterable[Shot]) -> TimeLeft:
    """Whether the list fits the hours of the shoot; ``shots`` are those of ``shots_of``."""
    shots = list(shots)
    to_take = [_time_of(shot) for shot in shots if shot.state in (Shot.State.PLANNED, Shot.State.REPEAT)]
    unasked = unasked_of(shots)
    hours = _hours_of(shoot)
    return TimeLeft(
        over=over_by(to_take, hours),
        by_plan=hours is not None and is_planned(to_take, hours),
        unasked=unasked,
        saves=minutes_together(map(_time_of, unasked)),
        left=sum(shot.left_for_time and shot.state == Shot.State.SKIPPED for shot in shots),
    )


def _time_of(shot: Shot) -> ShotTime:
    planned = shot.planned_time.hour * 60 + shot.planned_time.minute if shot.planned_time else None
    return ShotTime(shot.kind, shot.dish_id is not None, planned)


def _hours_of(shoot: Shoot) -> Hours | None:
    begins, ends = shoot.from_time, shoot.until_time
    if begins is None or ends is None:
        return None
    return Hours(begins.hour * 60 + begins.minute, ends.hour * 60 + ends.minute, day_count(shoot))


def asks_for_substitutes(shoot: Shoot) -> bool:
    """Is the use of a shoot advertising, so that what was substituted is written down for each hero?"""
    return ADVERTISING in shoot.use_classes


def without_substitution_answer(shoot: Shoot, shots: Iterable[Shot]) -> list[Shot]:
    """The heroes and promised pictures of ``shots_of``, not skipped, for which nobody said yet whether anything was substituted. None where
    the use is not advertising."""
    if not asks_for_substitutes(shoot):
        return []
    return [
        shot
        for shot in shots
        if shot.dish_id is not None
        and (shot.is_hero or shot.serves)  # type: ignore[attr-defined]
        and shot.state != Shot.State.SKIPPED
        and not shot.substitution
    ]


@dataclass(frozen=True)
class Counts:
    """How the list stands."""

    all: int
    done: int
    repeat: int
    skipped: int

    @property
    def open(self) -> int:
        return self.all - self.done - self.skipped


def counts_of(shots: Iterable[Shot]) -> Counts:
    """How many shots of a list are done, to be repeated and skipped."""
    states = [shot.state for shot in shots]
    return Counts(len(states), states.count("done"), states.count("repeat"), states.count("skipped"))


def bench_of(shots: Iterable[Shot], dishes: Iterable[Dish]) -> dict[str, Any]:
    """Dishes down, stages across; a cell holds the shots of that dish at that stage, the first ``MOST_IN_CELL`` of them, must-haves
    before others, and how many more there are. Only stages that occur. ``has_pictures``: whether any shot has one.

    Each of ``shots_of`` gets ``shown``: the picture that stands for it, a chosen one first, or nothing.
    """
    shots = list(shots)
    for shot in shots:
        pictures = [picture for picture in shot.taken if picture.state != "left"]  # type: ignore[attr-defined]
        chosen = (picture for picture in pictures if picture.state == "chosen")
        shot.shown = next(chosen, pictures[0] if pictures else None)  # type: ignore[attr-defined]
    stages = [(key, name) for key, name in Stage.choices if any(shot.stage == key and shot.dish_id for shot in shots)]
    dishes, cells = list(dishes), defaultdict[tuple[int | None, str], list[Shot]](list)
    for shot in shots:
        cells[shot.dish_id, shot.stage].append(shot)
    rows = [(dish, [_cell(cells[dish.pk, key]) for key, _ in stages]) for dish in dishes]
    on_bench = {shot.pk for dish in dishes for key, _ in stages for shot in cells[dish.pk, key]}
    columns = [(name, _begins(shots, key)) for key, name in stages]
    has_pictures = any(shot.shown for shot in shots)  # type: ignore[attr-defined]
    return {
        "columns": columns,
        "rows": rows,
        "has_pictures": has_pictures,
        "others": [shot for shot in shots if shot.pk not in on_bench],
    }


def _cell(here: list[Shot]) -> tuple[list[Shot], int]:
    shown = set(sorted(here, key=lambda shot: not shot.is_must)[:MOST_IN_CELL])
    return [shot for shot in here if shot in shown], len(here) - len(shown)


def _begins(shots: list[Shot], stage: str) -> time | None:
    return min((shot.planned_time for shot in shots if shot.stage == stage and shot.planned_time), default=None)


def dishes_with_recipes(shoot: Shoot) -> QuerySet[Dish]:
    """The dishes of a shoot in their order, with their recipe, if any, and their moments with the steps they belong to."""
    moments = Prefetch("moments", queryset=Moment.objects.select_related("step").order_by("order", "pk"))
    return shoot.dishes.select_related("recipe").prefetch_related(moments).order_by("order", "pk")


def moment_counts(dishes: Iterable[Dish]) -> list[tuple[Dish, int, int]]:
    """Each of ``dishes_with_recipes`` with how many moments it has, and how many of them are still drafts."""
    return [(dish, len(dish.moments.all()), sum(each.is_draft for each in dish.moments.all())) for dish in dishes]


def promised_without_a_shot(shoot: Shoot) -> list[AgreedPicture]:
    """Pictures wanted or agreed that no line of the shot list serves."""
    return list(
        shoot.agreed_pictures.exclude(state=AgreedPicture.State.LEFT_OUT).filter(shots=None).select_related("dish")
    )


def promised_and_skipped(shots: Iterable[Shot]) -> list[AgreedPicture]:
    """Pictures wanted or agreed all of whose shots, of ``shots_of``, are skipped, so that nothing on the list will serve them."""
    served: dict[AgreedPicture, bool] = {}
    for shot in shots:
        for picture in shot.serves:  # type: ignore[attr-defined]
            served[picture] = served.get(picture, False) or shot.state != Shot.State.SKIPPED
    return [
        picture
        for picture, is_served in served.items()
        if not is_served and picture.state != AgreedPicture.State.LEFT_OUT
    ]


def promised_and_not_taken(shoot: Shoot) -> list[AgreedPicture]:
    """Pictures wanted or agreed of which no shot is done yet."""
    pictures = (
        shoot.agreed_pictures.exclude(state=AgreedPicture.State.LEFT_OUT)
        .select_related("dish")
        .prefetch_related("shots")
    )
    return [picture for picture in pictures if not any(shot.state == Shot.State.DONE for shot in picture.shots.all())]


def cues_in(ids: Iterable[str], language: str) -> list[str]:
    """Cues of the closed list in a language, as they are said; an id the list does not have is left out."""
    known = cue_words()
    return [known[each].words.get(language, known[each].words["en"]) for each in ids if each in known]


# Cook's sheet and call sheet


def cook_sheet_of(shoot: Shoot, *, at: datetime) -> CookSheet:
    """What the cook's sheet says now: the shots of each dish in which the cook has a part; only the must-haves where a person chose so."""
    business, kitchen = business_or_none(at), shoot.kitchen
    studio, row = business.language if business else "en", _cook_row(shoot)
    spoken = spoken_at(shoot)
    shots = for_the_cook(shoot)
    printed = [shot for shot in shots if shot.is_must] if musts_only(shoot) else shots
    dishes = [
        (dish, tuple(_cook_line(shot, shoot, spoken, studio) for shot in printed if shot.dish_id == dish.pk))
        for dish in shoot.dishes.all()
    ]
    told = {each.pk: allergens for each, allergens in dish_allergens(shoot)}
    now, stop = _cues_said(("now", "stop"), spoken, studio)
    return CookSheet(
        shoot=shoot.title,
        house=shoot.client.name,
        cook=row.person.name if row else "",
        day=shoot.first_on,
        last_day=shoot.last_on,
        from_time=shoot.from_time,
        until_time=shoot.until_time,
        first_call=(row.from_time if row else None) or shoot.from_time,
        place=kitchen.name if kitchen else "",
        cook_language=spoken,
        studio_language=studio,
        dishes=tuple(CookDish(dish.name, dish.portions, told[dish.pk], lines) for dish, lines in dishes),
        words=sheet_words(),
        now=now,
        stop=stop,
        room=_lines(kitchen.hazards) if kitchen else (),
        hazards=hazards_of(shot for shot in shots if shot not in printed),
        calls=_lines(kitchen.calls) if kitchen else (),
        left_out=len(shots) - len(printed),
        photographer=business.name if business else "",
        phone=business.phone if business else "",
        made_at=at,
        identifier=f"cook's sheet {shoot.pk} {at.isoformat()}",
    )


def for_the_cook(shoot: Shoot) -> list[Shot]:
    """The shots in which the cook has a part: something is done, said or held back."""
    rows = shoot.shots.exclude(state=Shot.State.SKIPPED).select_related("moment")
    return [shot for shot in rows if shot.dish_id and (shot.moment_id or shot.cues or shot.keep_back)]


def only_nice(shoot: Shoot) -> list[Shot]:
    """The moments of the cook's sheet that are only nice to have."""
    return [shot for shot in for_the_cook(shoot) if not shot.is_must]


def musts_only(shoot: Shoot) -> bool:
    """Whether a person chose that the cook's sheet shows the must-haves only."""
    return SheetChoice.objects.filter(shoot=shoot, is_musts_only=True).exists()


def spoken_at(shoot: Shoot) -> str:
    """The language the cook of a shoot is spoken to in; that of the house while nobody is named."""
    cook = cook_of(shoot)
    return cook.spoken if cook else shoot.client.language


def dish_allergens(shoot: Shoot) -> list[tuple[Dish, DishAllergens]]:
    """Each dish with what was told of its allergens, and what its recipe names beside that."""
    dishes = list(shoot.dishes.all())
    prefetch_related_objects(dishes, Prefetch("recipe", Recipe.objects.prefetch_related("steps")))
    return [(dish, _allergens_of(dish)) for dish in dishes]


def hazards_of(shots: Iterable[Shot]) -> str:
    """What is hot, sharp or slippery at some shots, each thing once, in a line."""
    said = ", ".join(dict.fromkeys(piece for shot in shots for piece in hazard_pieces(shot.hazard)))
    return _dot(with_capital(said))


def call_sheet_of(shoot: Shoot, *, language: str, at: datetime) -> CallSheet:
    """What the call sheet says now, its fixed words in ``language``."""
    business, kitchen = business_or_none(at), shoot.kitchen
    shots, people = list(shots_of(shoot)), list(shoot.people.select_related("person"))
    studio = business.language if business else "en"
    spoken = spoken_at(shoot)
    said = dict.fromkeys([cue for shot in shots for cue in shot.cues] + ["stop"])
    holder = kitchen.key_holder if kitchen else None
    return CallSheet(
        language=language,
        shoot=shoot.title,
        house=shoot.client.name,
        first_on=shoot.first_on,
        last_on=shoot.last_on,
        from_time=shoot.from_time,
        until_time=shoot.until_time,
        place=kitchen.name if kitchen else "",
        address=kitchen.address if kitchen else "",
        way_in=kitchen.way_in if kitchen else "",
        key_holder=holder.name if holder else "",
        key_phone=holder.phone if holder else "",
        house_rules=_lines(kitchen.house_rules) if kitchen else (),
        calls=_lines(kitchen.calls) if kitchen else (),
        hazards=tuple(
            dict.fromkeys(
                [*(_lines(kitchen.hazards) if kitchen else ()), *(_dot(shot.hazard) for shot in shots if shot.hazard)]
            )
        ),
        allergens=tuple(told for _, told in dish_allergens(shoot)),
        people=(
            *(
                (CallPerson(business.legal_name, "photographer", business.phone, shoot.from_time, shoot.until_time),)
                if business
                else ()
            ),
            *(
                CallPerson(row.person.name, row.part, row.person.phone, row.from_time, row.until_time, row.brings)
                for row in people
            ),
        ),
        times=_call_times(shoot, shots),
        portions=tuple((dish.name, dish.portions) for dish in shoot.dishes.all()),
        cues=tuple(_cues_said(said, spoken, studio)),
        cue_languages=tuple(dict.fromkeys((spoken, studio))),
        words=sheet_words(),
        photographer=business.name if business else "",
        phone=business.phone if business else "",
        made_at=at,
        identifier=f"call sheet {shoot.pk} {language} {at.isoformat()}",
        footer=tuple(part for part in (business.name, business.phone) if part) if business else (),
    )


def _call_times(shoot: Shoot, shots: Iterable[Shot]) -> tuple[CallTime, ...]:
    timed = sorted(
        ((_day_of(shot, shoot), shot.planned_time, shot) for shot in shots if shot.planned_time),
        key=lambda each: each[:2],
    )
    has_days = len({day for day, _, _ in timed}) > 1
    return tuple(
        CallTime(at, shot.title, shot.dish.name if shot.dish else "", day_on(shoot.first_on, day) if has_days else None)
        for day, at, shot in timed
    )


def _day_of(shot: Shot, shoot: Shoot) -> int:
    """On which day of the shoot a shot is planned; one planned for a day the shoot no longer has counts for its last."""
    return min(shot.planned_day, day_count(shoot))


def day_count(shoot: Shoot) -> int:
    """On how many days a shoot takes place; 1 while its days are not fixed."""
    return (shoot.last_on - shoot.first_on).days + 1 if shoot.first_on and shoot.last_on else 1


def shoot_with_people(pk: int) -> QuerySet[Shoot]:
    """A shoot with who is there."""
    people = Prefetch("people", queryset=ShootPerson.objects.select_related("person").order_by("pk"))
    return Shoot.objects.filter(pk=pk).prefetch_related(people)


def shoot_for_sheets(pk: int) -> QuerySet[Shoot]:
    """A shoot with all that its sheets name."""
    return shoot_with_people(pk).select_related("client", "kitchen__key_holder").prefetch_related("dishes")


def missing_from_sheets(shoot: Shoot) -> list[str]:
    """What the sheets of a shoot cannot say yet, in sentences."""
    people, kitchen = list(shoot.people.all()), shoot.kitchen
    unasked = [dish.name for dish in shoot.dishes.all() if not dish.allergens_told_by]
    said = [
        "" if shoot.first_on else "The shoot has no day.",
        "" if cook_of(shoot) else "Nobody is named as the cook.",
        "" if kitchen else "No kitchen is named: there is no address, way in or hazard on the call sheet.",
        "No hazards are written down for the kitchen. Ask what is hot, sharp or slippery there."
        if kitchen and not kitchen.hazards
        else "",
        "No way in is written down for the kitchen." if kitchen and not kitchen.way_in else "",
        f"No phone number: {', '.join(row.person.name for row in people if not row.person.phone)}."
        if any(not row.person.phone for row in people)
        else "",
        f"Allergens not asked yet: {', '.join(unasked)}." if unasked else "",
    ]
    return [sentence for sentence in said if sentence]


def _cook_line(shot: Shot, shoot: Shoot, spoken: str, studio: str) -> CookLine:
    return CookLine(
        what=shot.title,
        at=shot.planned_time,
        wait_for=shot.note,
        cues=tuple(_cues_said(shot.cues, spoken, studio)),
        hazard=_dot(shot.hazard),
        hold_back=shot.keep_back,
        repeat=shot.moment.repeat if shot.moment else "",
        tries=shot.tries,
        is_must=shot.is_must,
        day=_day_of(shot, shoot),
        cook_says_now=bool(NEAR_HEAT.search(shot.hazard)),
    )


def _cues_said(ids: Iterable[str], spoken: str, studio: str) -> list[CueSaid]:
    ids = [each for each in ids if each in cue_words()]
    return [CueSaid(cook, ours) for cook, ours in zip(cues_in(ids, spoken), cues_in(ids, studio), strict=True)]


def _allergens_of(dish: Dish) -> DishAllergens:
    words = allergen_words()
    keys = tuple(dict.fromkeys(allergen_key_of(typed, words) or typed for typed in dish.allergens))
    recipe = getattr(dish, "recipe", None)
    suggested = (
        *allergens_suggested(recipe),
        *allergens_suggested(recipe, us=True),
    )  # pine nuts are on the US list only
    named = dict.fromkeys(each.key for each in suggested if each.level == CONTAINS)
    untold = tuple(key for key in named if key not in keys)
    return DishAllergens(dish.name, tuple(dish.allergens), dish.allergens_told_by, keys, untold)


def hazard_pieces(text: str) -> list[str]:
    """The words of a hazard line that stand for a thing; a line with a person's own words stays whole."""
    pieces = [piece.strip() for piece in text.strip().rstrip(".").lower().split(",") if piece.strip()]
    known = [piece for piece in pieces if piece in sheet_words().hazards]
    figures = [piece for piece in pieces if piece[:1].isdigit()]
    return known if len(known) + len(figures) == len(pieces) else [text.strip().rstrip(".")]


def _cook_row(shoot: Shoot) -> ShootPerson | None:
    return next((row for row in shoot.people.all() if row.part == Part.COOK), None)


def _lines(text: str) -> tuple[str, ...]:
    return tuple(line.strip() for line in text.splitlines() if line.strip())


def _dot(text: str) -> str:
    text = text.strip()
    return f"{text}." if text and text[-1] not in ".!?" else text


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}{'' if number == 1 else 's'}" if number else ""
