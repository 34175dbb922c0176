"""What is read for the recipe of a dish: the studio's own kitchen words, what was changed by hand, and what a second text would change."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from django.db.models import Q

from shared.words.formats import day, with_capital
from shoots.brief.models import Dish
from shoots.plan.ingredients import read_ingredient
from shoots.plan.lexicon import Action, Lexicon
from shoots.plan.models import Moment, Recipe, Step
from shoots.plan.moments import MomentDraft, draft_moments
from shoots.plan.queries import ingredients_of, kitchen_lexicon
from shoots.plan.recipe import Recipe as RecipeRead
from shoots.plan.recipe import read_recipe
from shoots.recipes.comparing import Change, RecipeWords, changes_between
from shoots.recipes.models import OwnKind, OwnWord, PutBy
from shoots.recipes.own_words import first_word, lexicon_with, word_to_learn

KEEP, REPLACE = "keep", "replace"
USUAL_SECONDS = 3  # of an own kind that names none
PARTS = {
    "title": "the title or the yield",
    "ingredients": "the ingredients",
    "steps": "steps added, taken out, split, joined or moved",
    "order": "the order of the moments",
    "moments": "moments taken out, joined or split",
    "unread": "what you did with the lines that were not read",
}


# The studio's own words


def studio_lexicon() -> Lexicon:
    """The kitchen's table with the studio's own kinds of moment and its own words."""
    kinds = tuple(_action(kind) for kind in OwnKind.objects.all())
    return lexicon_with(kitchen_lexicon(), kinds, tuple(OwnWord.objects.values_list("word", "action")))


def _action(kind: OwnKind) -> Action:
    return Action(
        id=kind.key,
        words=(kind.name.lower(),),
        visible=kind.visible,
        repeat=kind.repeat,
        moment_seconds=kind.peak_seconds or USUAL_SECONDS,
        hazards=tuple(kind.hazards),
        angle=kind.angle,
        distance=kind.distance,
        motion=kind.motion,
        light=kind.light,
        cues=tuple(kind.cues),
        note=kind.note,
        prepare=tuple(kind.prepare),
        interest=kind.interest,
    )


def kind_choices(lexicon: Lexicon) -> list[tuple[str, str]]:
    """The kinds of moment by name, as (id, name)."""
    named = sorted((action.name.capitalize(), action.id) for action in lexicon.actions)
    return [(key, name) for name, key in named]


def name_of_kind(action_id: str, lexicon: Lexicon) -> str:
    """What a kind of moment is called, or nothing when it went."""
    return lexicon.action(action_id).name if lexicon.knows(action_id) else ""


def words_with_kinds() -> list[tuple[OwnWord, str]]:
    """The studio's own words, each with the name of what it means; the name is empty where that kind went."""
    lexicon = studio_lexicon()
    return [(word, name_of_kind(word.action, lexicon)) for word in OwnWord.objects.all()]


# A recipe and what was changed in it


@dataclass(frozen=True)
class Edits:
    """What was done by hand since a recipe was read, and would be lost if it were read anew."""

    moments: int
    steps: int
    other: tuple[str, ...] = ()

    def __bool__(self) -> bool:
        return bool(self.moments or self.steps or self.other)

    def __str__(self) -> str:
        counted = [_count(self.moments, "moment"), _count(self.steps, "step"), *self.other]
        return ", ".join(part for part in counted if part)


def edits_of(dish: Dish) -> Edits:
    """The edits by hand in a dish's recipe: moments kept, written or changed, steps changed, parts changed, and that it was talked through."""
    recipe = Recipe.objects.filter(dish=dish).first()
    moments = dish.moments.filter(Q(is_draft=False) | Q(version__gt=1)).count()
    if recipe is None:
        return Edits(moments, 0)
    other = [words for part, words in PARTS.items() if part in recipe.changed_parts]
    if recipe.version > 1 and not other:
        other = ["the order, or lines you took out"]
    if recipe.talked_through_on:
        other.append(f"that the cook went through it on {day(recipe.talked_through_on, 'en')}")
    return Edits(moments, recipe.steps.filter(version__gt=1).count(), tuple(other))


def earlier_reading(dish: Dish) -> PutBy | None:
    """What the recipe was before the text that was read last, if there was one."""
    return dish.put_by.defer("rows").filter(kind=PutBy.Kind.READING).first()


def taken_out(dish: Dish) -> list[PutBy]:
    """Moments taken out, joined or split, the last first; each can be had back."""
    return list(dish.put_by.defer("rows").exclude(kind=PutBy.Kind.READING))


@dataclass(frozen=True)
class Unread:
    """A line that was not read, or with doubt. ``where`` it is corrected: ``recipe``, ``steps``, ``step`` (that of ``step``), or nowhere yet."""

    place: int
    what: str
    why: str
    done: str
    where: str
    step: int | None = None


DONE_WORDS = {"ingredient": "Made an ingredient", "step": "Made a step", "aside": "Put aside", "right": "Read right"}
OF_PARTS = {"Ingredients": "recipe", "Method": "steps"}  # what the reader calls a part it found nothing for


def unread_of(recipe: Recipe) -> list[Unread]:
    """The lines that were not read or with doubt, those still open first."""
    of_head = {recipe.yields, *(line["text"] for line in recipe.ingredients)}
    steps = {step.text: step.pk for step in recipe.steps.all()}
    found = []
    for place, each in enumerate(recipe.unread):
        what, done = each["what"], DONE_WORDS.get(each.get("done", ""), "")
        step = steps.get(each.get("step") or what)
        where = "recipe" if what in of_head else "step" if step else OF_PARTS.get(what, "")
        found.append(Unread(place, what, each["why"], done, where, step))
    return sorted(found, key=lambda each: bool(each.done))


@dataclass(frozen=True)
class StepShown:
    """A step with what the page says beside it."""

    step: Step
    moments: Sequence[Moment]
    drafts: int
    word: str  # that could be taught, where no moment was found


def steps_shown(recipe: Recipe | None) -> list[StepShown]:
    """The steps of ``plan.queries.recipe_of`` with their moments."""
    shown = []
    for step in recipe.steps.all() if recipe else ():
        moments = list(step.moments.all())
        drafts = sum(moment.is_draft for moment in moments)
        shown.append(StepShown(step, moments, drafts, "" if moments else first_word(step.text)))
    return shown


def words_to_learn(moments: Iterable[Moment], lexicon: Lexicon) -> dict[int, tuple[str, str]]:
    """For each moment whose words the reader would not read as its kind: the word to learn, and what it would mean. By key of the moment."""
    found = {}
    for moment in moments:
        if not moment.is_draft and moment.action and (word := word_to_learn(moment.what, moment.action, lexicon)):
            found[moment.pk] = (word, name_of_kind(moment.action, lexicon))
    return found


@dataclass(frozen=True)
class IngredientShown:
    """An ingredient as the recipe says it; ``read`` where its figures say something else, since somebody corrected them."""

    text: str
    section: str
    read: str


def ingredients_shown(recipe: Recipe | None) -> list[IngredientShown]:
    """The ingredients of a recipe, in their order."""
    shown = []
    for line in ingredients_of(recipe) if recipe else ():
        usual = read_ingredient(line.text, line.section)
        is_same = (line.quantity, line.unit, line.name) == (usual.quantity, usual.unit, usual.name)
        figure = f"{line.quantity:f}" if line.quantity is not None else ""
        read = "" if is_same else " ".join(part for part in (figure, line.unit, line.name) if part)
        shown.append(IngredientShown(line.text, line.section, read))
    return shown


# Reading it anew


@dataclass(frozen=True)
class Rereading:
    """What a new text would change, for the question whether it should."""

    changes: tuple[Change, ...]
    stay: int
    go: int
    come: int


def rereading_of(dish: Dish, text: str) -> Rereading:
    """What reading ``text`` into a dish would change, without changing anything. Raises InvalidRecipe when it is none.

    ``stay``: moments by hand; ``go``: drafts that would make room; ``come``: moments the new text names.
    """
    read = read_recipe(text)
    drafts = draft_moments(read.steps, studio_lexicon())
    moments = list(dish.moments.all())
    stay = sum(is_by_hand(moment) for moment in moments)
    return Rereading(changes_between(words_of(dish), _words_read(read, drafts)), stay, len(moments) - stay, len(drafts))


def is_by_hand(moment: Moment) -> bool:
    """Whether somebody kept, wrote or changed the moment."""
    return not moment.is_draft or moment.version > 1


def words_of(dish: Dish) -> RecipeWords:
    """The recipe of a dish as its words."""
    recipe = Recipe.objects.filter(dish=dish).first()
    moments = tuple(moment.what for moment in dish.moments.all())
    if recipe is None:
        return RecipeWords(moments=moments)
    lines = tuple(line["text"] for line in recipe.ingredients)
    return RecipeWords(recipe.title, recipe.yields, lines, tuple(step.text for step in recipe.steps.all()), moments)


def _words_read(read: RecipeRead, drafts: Sequence[MomentDraft]) -> RecipeWords:
    return RecipeWords(
        read.title[:160],
        read.yields[:60],
        tuple(line.text for line in read.ingredients),
        tuple(step.text for step in read.steps),
        tuple(words_of_draft(draft) for draft in drafts),
    )


def words_of_draft(draft: MomentDraft) -> str:
    """What a drafted moment is called on the page."""
    words = draft.clause or draft.word
    return (with_capital(words))[:200]


def values_of(draft: MomentDraft) -> dict[str, Any]:
    """A draft as fields of a moment, but for its words."""
    return {
        "action": draft.action_id,
        "visible": draft.visible[:200],
        "repeat": draft.repeat,
        "peak_seconds": draft.peak_seconds,
        "hazards": list(draft.hazards),
        "cues": list(draft.cues),
        "prepare": list(draft.prepare),
        "note": draft.note[:200],
        "angle": draft.angle,
        "distance": draft.distance,
        "motion": draft.motion,
        "light": draft.light,
        "interest": draft.interest,
    }


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}{'' if number == 1 else 's'}" if number else ""
