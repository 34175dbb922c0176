"""What can be done to a dish's recipe, its steps and moments, and to the studio's own kitchen words."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict
from datetime import date
from decimal import Decimal
from typing import Any, TypeVar

from django.core import serializers
from django.db import transaction
from django.db.models import F, Model, QuerySet

from shared.edits import EditedMeanwhile, save_edit
from shared.errors import Refusal
from shoots.brief.models import Dish
from shoots.plan.ingredients import Ingredient, read_ingredient
from shoots.plan.languages import language_of
from shoots.plan.models import Moment, Recipe, Shot, Step
from shoots.plan.moments import MomentDraft, draft_moments
from shoots.plan.recipe import InvalidRecipe, read_recipe
from shoots.plan.recipe import Recipe as RecipeRead
from shoots.plan.steps import Step as StepRead
from shoots.plan.steps import read_step
from shoots.recipes.lines import carried_on, place_of_words
from shoots.recipes.merging import MomentWords, merged, parts_of
from shoots.recipes.models import OwnKind, OwnWord, PutBy
from shoots.recipes.own_words import WordRefused, word_for
from shoots.recipes.queries import (
    KEEP,
    REPLACE,
    Edits,
    edits_of,
    is_by_hand,
    name_of_kind,
    studio_lexicon,
    values_of,
    words_of_draft,
)

MOMENT_FIELDS = tuple(MomentWords.__dataclass_fields__)
LONGEST_STEPS = 300  # of one recipe

Row = TypeVar("Row", Moment, Step)


class RecipeUnreadable(Refusal):
    """The pasted text cannot be a recipe."""

    def __init__(self, reason: str) -> None:
        super().__init__(reason, "What you pasted is kept below.")


class RecipeHasEdits(Refusal):
    """Reading a recipe anew would write over what was done by hand."""

    def __init__(self, edits: Edits) -> None:
        self.edits = edits
        super().__init__(
            f"You changed this recipe by hand: {edits}.",
            "Nothing was changed.",
            "Choose whether the new text takes their place, or they stay.",
        )


class WordUnlearnable(Refusal):
    """The word would match nothing, or everything."""

    def __init__(self, reason: str) -> None:
        super().__init__(reason, "Nothing was learnt.")


class WordMeansAnother(Refusal):
    """The word means another kind of moment already."""

    def __init__(self, word: str, means: str, wanted: str) -> None:
        self.word, self.means, self.wanted = word, means, wanted
        super().__init__(
            f"“{word}” already means {means}.", "Nothing was learnt.", f"Say whether it means {wanted} from now on."
        )


class NothingToJoin(Refusal):
    """There is nothing behind the last one to join it with."""

    def __init__(self, noun: str) -> None:
        super().__init__(f"This is the last {noun}, so there is none to join it with.", "Nothing was changed.")


# The recipe of a dish


@transaction.atomic
def read_recipe_into(dish: Dish, *, text: str, edits: str = "") -> Recipe:
    """Read a pasted recipe into steps and drafted moments; what could not be read stays beside it, with the reason.

    Where something was edited by hand, ``edits`` must say what becomes of it: ``keep`` (the moments stay) or ``replace``.
    What was there before is put by. Shots of a moment that comes out the same are joined to it again.
    Raises RecipeUnreadable and RecipeHasEdits.
    """
    dish = _locked(dish)
    try:
        read = read_recipe(text)
    except InvalidRecipe as error:
        raise RecipeUnreadable(str(error)) from None
    by_hand = edits_of(dish)
    if by_hand and edits not in (KEEP, REPLACE):
        raise RecipeHasEdits(by_hand)
    _put_reading_by(dish)
    rows = list(dish.moments.select_related("step"))
    kept = [moment for moment in rows if edits == KEEP and is_by_hand(moment)]
    stay = {moment.pk: (moment, moment.step.text if moment.step else "") for moment in kept}
    dropped = dish.moments.exclude(pk__in=stay)
    joined = [
        (shot, _likeness(shot.moment))
        for shot in Shot.objects.filter(moment__in=dropped).select_related("moment")
        if shot.moment
    ]
    dropped.delete()
    recipe = _write_recipe(dish, text, read)
    steps = _write_steps(recipe, read.steps)
    gone = _likenesses_put_by(dish) if edits == KEEP else set()
    moments = _write_moments(dish, read, steps, list(stay.values()), gone)
    like = {_likeness(moment): moment for moment in moments}
    for shot, likeness in joined:
        if likeness in like:
            Shot.objects.filter(pk=shot.pk).update(moment=like[likeness])
    return recipe


@transaction.atomic
def bring_reading_back(dish: Dish) -> bool:
    """The recipe as it was before the text read last, its moments and their shots with it; the present one is put by instead.

    False when there was none before.
    """
    dish = _locked(dish)
    earlier = dish.put_by.filter(kind=PutBy.Kind.READING).first()
    if earlier is None:
        return False
    kept = earlier.rows
    _put_reading_by(dish)
    dish.moments.all().delete()
    if kept["recipe"] is None:
        Recipe.objects.filter(dish=dish).delete()
        _write_kept_moments(dish, kept["moments"], {})
        return True
    recipe, _ = Recipe.objects.update_or_create(dish=dish, defaults=kept["recipe"])
    recipe.steps.all().delete()
    steps = {row["pk"]: Step(recipe=recipe, **row) for row in kept["steps"]}
    Step.objects.bulk_create(steps.values())
    _write_kept_moments(dish, kept["moments"], steps)
    return True


@transaction.atomic
def talk_recipe_through(recipe: Recipe, *, on: date) -> int:
    """The cook went through the recipe on a day: every drafted moment that is still there counts as agreed. How many became so."""
    kept = keep_moments(recipe.dish)
    Recipe.objects.filter(pk=recipe.pk).update(talked_through_on=on)
    return kept


@transaction.atomic
def correct_recipe(
    recipe: Recipe,
    *,
    title: str,
    yields: str,
    servings: int | None,
    ingredients: Sequence[Mapping[str, Any]],
    version: int,
) -> Recipe:
    """Save what was corrected in a recipe's head and its ingredients, in their order. Raises EditedMeanwhile.

    An ingredient whose words changed while its figures did not is read anew from its words. A doubt about what was corrected is settled.
    """
    before = list(recipe.ingredients)
    lines = [_corrected(line, before) for line in ingredients]
    parts = set(recipe.changed_parts)
    if (title, yields, servings) != (recipe.title, recipe.yields, recipe.servings):
        parts.add("title")
    if lines != before:
        parts.add("ingredients")
    corrected = {line["text"] for line in before if line not in lines}
    corrected |= {recipe.yields} if (yields, servings) != (recipe.yields, recipe.servings) else set()
    recipe.title, recipe.yields, recipe.servings, recipe.ingredients = title, yields, servings, lines
    recipe.unread, recipe.changed_parts = _settled(recipe.unread, corrected), sorted(parts)
    return save_edit(recipe, ["title", "yields", "servings", "ingredients", "unread", "changed_parts"], version=version)


@transaction.atomic
def settle_unread(recipe: Recipe, *, place: int, what: str, way: str) -> Recipe:
    """Say what becomes of a line that was not read: ``ingredient``, ``step``, ``aside``, ``right`` (it was read right), or ``open`` again.

    ``what`` are its words, so that a page that is out of date changes nothing: then EditedMeanwhile is raised.
    """
    recipe = Recipe.objects.select_for_update().get(pk=recipe.pk)
    if not 0 <= place < len(recipe.unread) or recipe.unread[place]["what"].split() != what.split():
        raise EditedMeanwhile(recipe.changed_at)
    line = recipe.unread[place]
    what = line["what"]  # a browser sends other line ends than those kept
    if line.get("done", "") == way:
        return recipe
    line["done"] = "" if way == "open" else way
    if way == "ingredient" and all(each["text"] != what for each in recipe.ingredients):
        recipe.ingredients = [*recipe.ingredients, _as_kept(read_ingredient(what))]
    elif way == "step" and not recipe.steps.filter(text=what).exists():
        add_step(recipe, text=what)
    recipe.save(update_fields=["unread", "ingredients", "changed_at"])
    _changed_by_hand(recipe.dish_id, "unread")
    return recipe


# Steps


@transaction.atomic
def change_step(step: Step, *, fields: Iterable[str], version: int) -> Step:
    """Save the changed ``fields`` already set on a step; a doubt about its words is settled by that. Raises EditedMeanwhile."""
    words = Step.objects.values_list("text", flat=True).get(pk=step.pk)
    save_edit(step, fields, version=version)
    recipe = Recipe.objects.select_for_update().get(pk=step.recipe_id)
    recipe.unread = _settled(recipe.unread, {words})
    recipe.save(update_fields=["unread"])
    return step


@transaction.atomic
def add_step(recipe: Recipe, *, text: str) -> Step:
    """A step at the end, with its minutes, temperature and drafted moments read from its words."""
    number = recipe.steps.count() + 1
    step = _write_steps(recipe, [read_step(number, text)])[number]
    _draft_into(recipe.dish, [step])
    _changed_by_hand(recipe.dish_id, "steps")
    return step


@transaction.atomic
def write_steps(recipe: Recipe, *, lines: Sequence[str], version: int) -> int:
    """Write the steps as lines: added, taken out, split, joined, moved, all at once. How many there are. Raises EditedMeanwhile.

    A line that carries on an old step keeps its minutes and moments; a line with new words has its minutes and temperature read anew.
    Moments of a step that went stay, with the step in which their words stand, or with none.
    """
    save_edit(recipe, [], version=version)
    old = list(recipe.steps.all())
    matches = carried_on([step.text for step in old], lines)
    if [each.text for each in old] == list(lines):
        return len(old)
    rows = []
    fresh = []
    for number, (text, match) in enumerate(zip(lines, matches, strict=True), 1):
        step = old[match] if match is not None else Step(recipe=recipe)
        step.order = number
        if step.text != text:
            _set_words(step, text)
        if match is None:
            fresh.append(step)
        rows.append(step)
        step.save()
    _settle_moments(Moment.objects.filter(step__in=[step.pk for step in old]), rows)
    recipe.steps.exclude(pk__in=[step.pk for step in rows]).delete()
    _draft_into(recipe.dish, [step for step in fresh if not step.moments.exists()])
    _changed_by_hand(recipe.dish_id, "steps")
    return len(rows)


@transaction.atomic
def split_step(step: Step, *, lines: Sequence[str]) -> list[Step]:
    """One step as several, a line each. Minutes and temperature are read anew; each moment goes to the part in which its words stand."""
    rows = list(step.recipe.steps.select_for_update().order_by("order", "pk"))
    here = next(place for place, row in enumerate(rows) if row.pk == step.pk)
    parts = [step, *(Step(recipe=step.recipe, section=step.section) for _ in lines[1:])]
    for part, text in zip(parts, lines, strict=True):
        _set_words(part, text)
        part.version += 1 if part.pk else 0
        part.save()
    rows[here : here + 1] = parts
    _number(rows, first=1)
    _settle_moments(step.moments.all(), parts)
    _draft_into(step.recipe.dish, [part for part in parts[1:] if not part.moments.exists()])
    _changed_by_hand(step.recipe.dish_id, "steps")
    return parts


@transaction.atomic
def join_step(step: Step) -> Step:
    """A step and the one behind it as one; their minutes add up, the moments of both stay. Raises NothingToJoin."""
    rows = list(step.recipe.steps.select_for_update().order_by("order", "pk"))
    here = next(place for place, row in enumerate(rows) if row.pk == step.pk)
    if here + 1 == len(rows):
        raise NothingToJoin("step")
    first, second = rows[here], rows.pop(here + 1)
    first.text = f"{first.text.rstrip()} {second.text.lstrip()}"
    first.minutes_to = _sum(first.minutes_to or first.minutes_from, second.minutes_to or second.minutes_from)
    first.minutes_from = _sum(first.minutes_from, second.minutes_from)
    first.temperature_c = second.temperature_c if first.temperature_c is None else first.temperature_c
    first.version += 1
    first.save()
    second.moments.update(step=first)
    second.delete()
    _number(rows, first=1)
    _changed_by_hand(first.recipe.dish_id, "steps")
    return first


@transaction.atomic
def move_step(step: Step, *, places: int) -> None:
    """Move a step ``places`` down the recipe (negative: up)."""
    _move_in_list(Step.objects.filter(recipe_id=step.recipe_id), step, places, first=1)
    _changed_by_hand(step.recipe.dish_id, "steps")


@transaction.atomic
def remove_step(step: Step) -> None:
    """Take a step out. Its words stay among the lines that were not read; its moments stay, of no step."""
    recipe = Recipe.objects.select_for_update().get(pk=step.recipe_id)
    recipe.unread = [*recipe.unread, {"what": step.text, "why": "You took this step out.", "done": "aside"}]
    recipe.save(update_fields=["unread", "changed_at"])
    step.delete()
    _number(list(recipe.steps.order_by("order", "pk")), first=1)
    _changed_by_hand(recipe.dish_id, "steps")


# Moments


@transaction.atomic
def add_moment(dish: Dish, *, what: str, step: Step | None = None, **fields: Any) -> Moment:
    """A moment written by hand, after those of its step or at the end. It is no draft."""
    rows = list(dish.moments.select_for_update().order_by("order", "pk"))
    before = [place for place, row in enumerate(rows) if step is not None and row.step_id == step.pk]
    moment = Moment.objects.create(dish=dish, what=what, step=step, order=len(rows), is_draft=False, **fields)
    rows.insert(before[-1] + 1 if before else len(rows), moment)
    _number(rows)
    return moment


@transaction.atomic
def keep_moment(moment: Moment) -> None:
    """The moment is agreed as drafted."""
    Moment.objects.filter(pk=moment.pk, is_draft=True).update(is_draft=False, version=F("version") + 1)


@transaction.atomic
def keep_moments(dish: Dish, *, step: Step | None = None) -> int:
    """Every drafted moment of a dish, or of one of its steps, is agreed. How many became so."""
    drafts = dish.moments.filter(is_draft=True)
    return (drafts.filter(step=step) if step else drafts).update(is_draft=False)


@transaction.atomic
def change_moment(moment: Moment, *, fields: Iterable[str], version: int) -> Moment:
    """Save the changed ``fields`` already set on a moment; a changed moment is no draft. Raises EditedMeanwhile."""
    moment.is_draft = False
    return save_edit(moment, [*fields, "is_draft"], version=version)


@transaction.atomic
def move_moment(moment: Moment, *, places: int) -> None:
    """Move a moment ``places`` down its dish's list (negative: up)."""
    _move_in_list(Moment.objects.filter(dish_id=moment.dish_id), moment, places)
    _changed_by_hand(moment.dish_id, "order")


@transaction.atomic
def order_moments(dish: Dish, *, keys: Sequence[int]) -> None:
    """Bring the moments of a dish into the order of ``keys``. Keys of other moments count for nothing; moments not named follow in their order."""
    rows = list(dish.moments.select_for_update().order_by("order", "pk"))
    wanted = {key: place for place, key in enumerate(dict.fromkeys(keys))}
    in_order = sorted(rows, key=lambda row: wanted.get(row.pk, len(wanted)))
    if in_order != rows:
        _number(in_order)
        _changed_by_hand(dish.pk, "order")


@transaction.atomic
def join_moments(first: Moment, second: Moment) -> Moment:
    """Two moments of a dish as one, in the place of the first: what both say counts, the shots of both are its shots.

    Both are put by, so that it can be undone.
    """
    kept = [_kept_moment(first), _kept_moment(second)]
    words = asdict(merged(_words(first), _words(second)))
    _set_fields(first, words)
    first.save()
    Shot.objects.filter(moment=second).update(moment=first)
    second.delete()
    _put_moments_by(first.dish_id, PutBy.Kind.JOINED, first.what, kept, instead=[first.pk])
    _changed_by_hand(first.dish_id, "moments")
    return first


@transaction.atomic
def split_moment(moment: Moment, *, first: str, second: str) -> tuple[Moment, Moment]:
    """One moment as two, the second right behind the first; its shots stay with the first. It is put by, so that it can be undone."""
    kept = _kept_moment(moment)
    one, two = parts_of(_words(moment), first, second)
    rows = list(Moment.objects.select_for_update().filter(dish_id=moment.dish_id).order_by("order", "pk"))
    here = next(place for place, row in enumerate(rows) if row.pk == moment.pk)
    moment = rows[here]
    what = moment.what
    _set_fields(moment, asdict(one))
    moment.save()
    added = Moment(dish_id=moment.dish_id, step_id=moment.step_id, order=len(rows))
    _set_fields(added, asdict(two))
    added.save()
    rows.insert(here + 1, added)
    _number(rows)
    _put_moments_by(moment.dish_id, PutBy.Kind.SPLIT, what, [kept], instead=[moment.pk, added.pk])
    _changed_by_hand(moment.dish_id, "moments")
    return moment, added


@transaction.atomic
def remove_moment(moment: Moment) -> PutBy:
    """Take a moment out. Its shots stay on the list; what it said is put by, so that it can be had back."""
    put_by = _put_moments_by(moment.dish_id, PutBy.Kind.TAKEN_OUT, moment.what, [_kept_moment(moment)], instead=[])
    _changed_by_hand(moment.dish_id, "moments")
    moment.delete()
    return put_by


@transaction.atomic
def bring_moments_back(put_by: PutBy) -> list[Moment]:
    """Undo a taking out, a joining or a splitting: the moments stand as they did, in their places, with those of their shots that are without a moment."""
    dish = put_by.dish
    instead = dish.moments.filter(pk__in=put_by.rows["instead"])
    loose = set(Shot.objects.filter(moment__in=instead).values_list("pk", flat=True))
    Shot.objects.filter(pk__in=loose).update(moment=None)
    instead.delete()
    steps = {step.pk: step for step in Step.objects.filter(recipe__dish=dish)}
    brought = _write_kept_moments(dish, put_by.rows["moments"], steps)
    if brought and loose:
        Shot.objects.filter(pk__in=loose, moment=None).update(moment=brought[0])
    rows = list(dish.moments.order_by("order", "pk"))
    keys = {moment.pk for moment in brought}
    _number(sorted(rows, key=lambda row: (row.order, row.pk not in keys)))
    _changed_by_hand(dish.pk, "moments")
    put_by.delete()
    return brought


# The studio's own words


@transaction.atomic
def learn_word(
    text: str, *, action: str, by: str, on: date, is_sure: bool = False, step: Step | None = None
) -> OwnWord:
    """Learn that a word means a kind of moment; the step it was met in, without a moment so far, gets its draft at once.

    Raises WordUnlearnable for what would match nothing or everything, and WordMeansAnother unless ``is_sure``.
    """
    lexicon = studio_lexicon()
    try:
        word, means = word_for(text, action, lexicon)
    except WordRefused as refused:
        raise WordUnlearnable(str(refused)) from None
    if means and not is_sure:
        raise WordMeansAnother(word, name_of_kind(means, lexicon), name_of_kind(action, lexicon))
    learnt, _ = OwnWord.objects.update_or_create(
        word=word, defaults={"action": action, "taught_by": by, "taught_on": on}
    )
    if step is not None and not step.moments.exists():
        _draft_into(step.recipe.dish, [step])
    return learnt


def forget_word(word: OwnWord) -> None:
    """A word is read no longer as it was taught; moments that came from it stay."""
    word.delete()


def add_own_kind(*, by: str, on: date, **fields: Any) -> OwnKind:
    """A kind of moment the kitchen's table does not have."""
    return OwnKind.objects.create(taught_by=by, taught_on=on, **fields)


@transaction.atomic
def change_own_kind(kind: OwnKind, *, fields: Iterable[str], version: int) -> OwnKind:
    """Save the changed ``fields`` already set on an own kind. Moments that are there stay as they are. Raises EditedMeanwhile."""
    return save_edit(kind, fields, version=version)


@transaction.atomic
def remove_own_kind(kind: OwnKind) -> int:
    """Take an own kind out, with the words that were taught for it; moments of it stay as they are. How many words went."""
    words, _ = OwnWord.objects.filter(action=kind.key).delete()
    kind.delete()
    return words


# Below: how the recipe is written


def _as_kept(line: Ingredient) -> dict[str, Any]:
    """An ingredient as the table keeps it: numbers as text, so that no decimal is lost."""
    kept = asdict(line)
    return {**kept, "quantity": _text(line.quantity), "quantity_to": _text(line.quantity_to)}


def _text(number: Decimal | None) -> str | None:
    return None if number is None else f"{number.normalize():f}"


FIGURES = ("quantity", "unit", "name")


def _settled(unread: Sequence[Mapping[str, Any]], words: set[str]) -> list[dict[str, Any]]:
    """The lines that were not read, those with these words gone through: what they doubted was corrected."""
    return [
        {**line, "done": line.get("done") or ("right" if words & {line["what"], line.get("step")} else "")}
        for line in unread
    ]


def _corrected(line: Mapping[str, Any], before: Sequence[Mapping[str, Any]]) -> dict[str, Any]:
    """A typed line over the one it came from (``place``, or None for a new one)."""
    place = line.get("place")
    old = before[place] if place is not None and place < len(before) else None
    typed = {"quantity": _text(line["quantity"]), "unit": line["unit"], "name": line["name"]}
    if old is None:
        read = _as_kept(read_ingredient(line["text"], line["section"]))
        return {**read, **{name: value for name, value in typed.items() if value}}
    shown = old if "name" in old else _as_kept(read_ingredient(old["text"], old.get("section", "")))
    has_new_figures = any((typed[name] or "") != (shown.get(name) or "") for name in FIGURES)
    if line["text"] != old["text"] and not has_new_figures:
        return _as_kept(read_ingredient(line["text"], line["section"]))
    if line["text"] == old["text"] and not has_new_figures:
        return {**old, "section": line["section"]}
    if typed["quantity"] != shown.get("quantity"):
        typed["quantity_to"] = None  # a number that was typed is no range
    return {**shown, "text": line["text"], "section": line["section"], **typed, "doubt": ""}


def _write_recipe(dish: Dish, text: str, read: RecipeRead) -> Recipe:
    values = {
        "source": text,
        "title": read.title[:160],
        "yields": read.yields[:60],
        "servings": read.servings,
        "ingredients": [_as_kept(line) for line in read.ingredients],
        "unread": [{"what": each.what, "why": each.why, "done": "", "step": each.step} for each in read.unread],
        "notes": list(read.notes),
        "changed_parts": [],
        "talked_through_on": None,
        "version": 1,
    }
    recipe, _ = Recipe.objects.update_or_create(dish=dish, defaults=values)
    recipe.steps.all().delete()
    return recipe


def _write_steps(recipe: Recipe, steps: Sequence[StepRead]) -> dict[int, Step]:
    rows = [
        Step(
            recipe=recipe, order=step.number, section=step.section[:120], text=step.text,
            minutes_from=step.minutes_from, minutes_to=step.minutes_to, temperature_c=step.celsius,
        )
        for step in steps
    ]  # fmt: skip
    return {step.order: step for step in Step.objects.bulk_create(rows)}


def _write_moments(
    dish: Dish, read: RecipeRead, steps: Mapping[int, Step], stay: list[tuple[Moment, str]], gone: set[tuple[str, str]]
) -> list[Moment]:
    """The drafted moments and, at the place of their step, those that stay.

    A draft that says the same as one of them, is of the same kind in the same step, or was taken out before, is left out.
    """
    in_steps = list(steps.values())
    old = list(dict.fromkeys(text for _, text in stay if text))
    matches = carried_on(old, [step.text for step in in_steps])
    of_text = {old[match]: in_steps[place] for place, match in enumerate(matches) if match is not None}
    for moment, step_text in stay:
        moment.step = of_text.get(step_text)
        Moment.objects.filter(pk=moment.pk).update(step=moment.step)
    known = {_likeness(moment) for moment, _ in stay} | gone
    taken = {(moment.action, moment.step_id) for moment, _ in stay if moment.action and moment.step_id}
    drafted = [_moment(dish, steps[draft.step_number], draft) for draft in draft_moments(read.steps, studio_lexicon())]
    made = Moment.objects.bulk_create(
        [
            moment
            for moment in drafted
            if _likeness(moment) not in known and (moment.action, moment.step_id) not in taken
        ]
    )
    in_order = sorted(
        [*made, *(moment for moment, _ in stay)],
        key=lambda moment: (moment.step.order, _place_in(moment.step, moment)) if moment.step else (len(steps) + 1, 0),
    )
    _number(in_order)
    return in_order


def _place_in(step: Step, moment: Moment) -> int:
    """Where the words of a moment begin in a step; behind all of it where they do not stand there."""
    place = step.text.lower().find(moment.what.removesuffix(" …").lower())
    return place if place >= 0 else len(step.text)


def _draft_into(dish: Dish, steps: Sequence[Step]) -> None:
    """Draft the moments of some steps, each behind those of the steps before it, read in the language of the whole recipe."""
    lexicon = studio_lexicon()
    texts = Step.objects.filter(recipe__dish=dish).values_list("text", flat=True)
    language = language_of("\n".join(texts))
    rows = list(dish.moments.select_related("step").order_by("order", "pk"))
    for step in steps:
        read = StepRead(step.order, step.text, language=language)
        made = [
            _moment(dish, step, draft, order=len(rows) + place)
            for place, draft in enumerate(draft_moments([read], lexicon))
        ]
        before = [place for place, row in enumerate(rows) if row.step and row.step.order <= step.order]
        here = before[-1] + 1 if before else 0
        rows[here:here] = Moment.objects.bulk_create(made)
    _number(rows)


def _moment(dish: Dish, step: Step, draft: MomentDraft, *, order: int = 0) -> Moment:
    return Moment(dish=dish, step=step, order=order, what=words_of_draft(draft), **values_of(draft))


def _set_words(step: Step, text: str) -> None:
    """New words for a step; minutes and temperature follow them, unless somebody corrected them."""
    old, new = read_step(0, step.text), read_step(0, text)
    step.text = text
    if (step.minutes_from, step.minutes_to) == (old.minutes_from, old.minutes_to):
        step.minutes_from, step.minutes_to = _decimal(new.minutes_from), _decimal(new.minutes_to)
    if step.temperature_c == old.celsius:
        step.temperature_c = new.celsius


def _settle_moments(moments: Iterable[Moment], steps: Sequence[Step]) -> None:
    """Each moment goes to the step in which its words stand; where they stand in none it stays with its step, if that is still there."""
    texts, known = [step.text for step in steps], {step.pk: step for step in steps}
    for moment in moments:
        here = known.get(moment.step_id) if moment.step_id else None
        if here and place_of_words(moment.what, [here.text]) is not None:
            continue
        place = place_of_words(moment.what, texts)
        Moment.objects.filter(pk=moment.pk).update(step=here if place is None else steps[place])


def _sum(first: Decimal | None, second: Decimal | None) -> Decimal | None:
    return None if first is None and second is None else (first or Decimal(0)) + (second or Decimal(0))


def _decimal(minutes: int | None) -> Decimal | None:
    return None if minutes is None else Decimal(minutes)


def _likeness(moment: Moment) -> tuple[str, str]:
    return moment.action, " ".join(moment.what.lower().split())


def _likenesses_put_by(dish: Dish) -> set[tuple[str, str]]:
    """What was taken out, joined or split by hand, so that it is not drafted once more."""
    rows = [row for put_by in dish.put_by.exclude(kind=PutBy.Kind.READING) for row in put_by.rows["moments"]]
    return {(row["action"], " ".join(row["what"].lower().split())) for row in rows}


def _changed_by_hand(dish_pk: int, part: str) -> None:
    """Remember that a part of a recipe was changed by hand, so that no second text is written over it unasked."""
    for recipe in Recipe.objects.select_for_update().filter(dish_id=dish_pk):
        recipe.changed_parts = sorted({*recipe.changed_parts, part})
        recipe.version += 0 if part in ("order", "moments") else 1
        recipe.save(update_fields=["changed_parts", "version", "changed_at"])


# Below: what is put by, and how it comes back

RECIPE_FIELDS = (
    "source", "title", "yields", "servings", "ingredients", "unread", "notes", "changed_parts", "talked_through_on", "version",
)  # fmt: skip
STEP_FIELDS = ("pk", "order", "section", "text", "minutes_from", "minutes_to", "temperature_c", "version")


def _put_reading_by(dish: Dish) -> None:
    recipe = Recipe.objects.filter(dish=dish).first()
    moments = [_kept_moment(moment) for moment in dish.moments.prefetch_related("shots")]
    if recipe is None and not moments:
        return
    rows = {
        "recipe": {name: getattr(recipe, name) for name in RECIPE_FIELDS} if recipe else None,
        "steps": [{name: getattr(step, name) for name in STEP_FIELDS} for step in recipe.steps.all()] if recipe else [],
        "moments": moments,
    }
    PutBy.objects.update_or_create(
        dish=dish,
        kind=PutBy.Kind.READING,
        defaults={"rows": rows, "what": (recipe.title if recipe else "") or "Moments without a recipe"},
    )


def _put_moments_by(dish_pk: int, kind: str, what: str, moments: list[dict[str, Any]], *, instead: list[int]) -> PutBy:
    return PutBy.objects.create(dish_id=dish_pk, kind=kind, what=what, rows={"moments": moments, "instead": instead})


def _kept_moment(moment: Moment) -> dict[str, Any]:
    kept = {name: getattr(moment, name) for name in MOMENT_FIELDS}
    shots = [shot.pk for shot in moment.shots.all()]
    place = {"pk": moment.pk, "step": moment.step_id, "order": moment.order}
    beside = serializers.serialize("json", _rows_beside(moment))
    return {**kept, **place, "is_draft": moment.is_draft, "version": moment.version, "shots": shots, "beside": beside}


def _rows_beside(moment: Moment) -> list[Model]:
    """What rooms above wrote down about a moment, a row each; this room knows neither their tables nor their names."""
    names = [each.get_accessor_name() for each in Moment._meta.related_objects if each.one_to_one]
    return [row for name in names if name and (row := getattr(moment, name, None)) is not None]


def _write_rows_beside(moment: Moment, kept: str) -> None:
    mine = {each.related_model: each.field.name for each in Moment._meta.related_objects if each.one_to_one}
    for read in serializers.deserialize("json", kept):
        read.object.pk = None
        setattr(read.object, mine[type(read.object)], moment)
        read.object.save(force_insert=True)


def _write_kept_moments(dish: Dish, kept: Sequence[Mapping[str, Any]], steps: Mapping[int, Step]) -> list[Moment]:
    """Moments as they were put by, under their old keys where these are free, and joined to those of their shots that have none."""
    taken = set(Moment.objects.filter(pk__in=[row["pk"] for row in kept]).values_list("pk", flat=True))
    made = []
    for row in kept:
        fields = {name: row[name] for name in (*MOMENT_FIELDS, "order", "is_draft", "version")}
        key = None if row["pk"] in taken else row["pk"]
        moment = Moment(pk=key, dish=dish, step=steps.get(row["step"]), **fields)
        moment.save(force_insert=True)
        _write_rows_beside(moment, row.get("beside", "[]"))
        Shot.objects.filter(pk__in=row["shots"], dish=dish, moment=None).update(moment=moment)
        made.append(moment)
    return made


def _words(moment: Moment) -> MomentWords:
    lists = {name: tuple(getattr(moment, name)) for name in LISTS}
    return MomentWords(**{name: getattr(moment, name) for name in MOMENT_FIELDS} | lists)


LISTS = ("hazards", "cues", "prepare")


def _set_fields(moment: Moment, words: Mapping[str, Any]) -> None:
    """A moment says these words from now on, and is no draft."""
    for name, value in words.items():
        setattr(moment, name, list(value) if name in LISTS else value)
    moment.is_draft = False
    moment.version += 1 if moment.pk else 0


# Below: order


def _locked(dish: Dish) -> Dish:
    return Dish.objects.select_for_update().get(pk=dish.pk)


def _number(rows: Sequence[Row], *, first: int = 0) -> None:
    """Write the order of rows as they stand, where it changed."""
    for order, row in enumerate(rows, first):
        if row.order != order:
            row.order = order
            type(row)._default_manager.filter(pk=row.pk).update(order=order)


def _move_in_list(rows: QuerySet[Row], row: Row, places: int, *, first: int = 0) -> None:
    in_order = list(rows.select_for_update().order_by("order", "pk"))
    here = next((index for index, each in enumerate(in_order) if each.pk == row.pk), None)
    if here is None:
        return
    in_order.insert(min(max(here + places, 0), len(in_order) - 1), in_order.pop(here))
    _number(in_order, first=first)
