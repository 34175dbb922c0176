"""A recipe as it was pasted: read what can be read, keep and show what can't."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from shoots.plan.ingredients import Ingredient, read_ingredient
from shoots.plan.languages import language_of, said
from shoots.plan.plain_text import Pasted, sort_lines
from shoots.plan.schema_org import (
    looks_like_a_page,
    looks_like_a_piece,
    looks_structured,
    sort_structured,
    words_of,
)
from shoots.plan.steps import NUMBER_WORDS, Step, read_step

LONGEST_TEXT = 200_000  # signs of a text, and
LONGEST_PAGE = 10_000_000  # of a page's source
MOST_LINES = 500  # ingredients, and steps
MOST_LINES_IN_ALL = 3_000
MOST_SERVINGS = 1_000


class InvalidRecipe(ValueError):
    """The pasted text can't be a recipe. Says why in one or two sentences meant for the person."""


@dataclass(frozen=True, slots=True)
class Unread:
    """Something of the pasted text that was not understood, word for word, and the reason; or what is missing, which is no word of the text."""

    what: str
    why: str
    step: str = ""
    is_of_text: bool = True


@dataclass(frozen=True, slots=True)
class Recipe:
    """What was read. Each line of the source is in title, yields, ingredients, steps, notes, headings or unread."""

    title: str
    yields: str
    servings: int | None
    ingredients: tuple[Ingredient, ...]
    steps: tuple[Step, ...]
    notes: tuple[str, ...] = ()
    headings: tuple[str, ...] = ()
    unread: tuple[Unread, ...] = ()
    source: str = "text"
    language: str = "en"


def read_recipe(text: str) -> Recipe:
    """Reads plain text, schema.org JSON-LD, or the source of a page with JSON-LD in it.

    Raises InvalidRecipe when the text is empty, far too long, or structured but without a recipe.
    """
    text = text.replace("\x00", "").lstrip("\ufeff")
    if not text.strip():
        raise InvalidRecipe("No recipe was pasted. Paste its text, or the source of the page it stands on.")
    is_structured = len(text) <= LONGEST_PAGE and looks_structured(text)
    if is_structured:
        return _assemble(_structured(text), source="schema.org")
    if looks_like_a_page(text):
        raise InvalidRecipe(
            "This is the source of a page, but no recipe data is in it. Copy the words of the recipe instead."
        )
    if len(text) > LONGEST_TEXT and not is_structured:
        raise InvalidRecipe(f"The text has {len(text):,} signs, more than a recipe has. Paste one recipe at a time.")
    if looks_like_a_piece(text):
        text = words_of(text)
        if not text:
            raise InvalidRecipe("There are only marks of a page in this, no words. Copy the words of the recipe.")
    if (lines := text.count("\n")) > MOST_LINES_IN_ALL:
        raise InvalidRecipe(f"{lines:,} lines are more than a recipe has. Paste one recipe at a time.")
    return _assemble(sort_lines(text), source="text")


_PORTIONS = re.compile(r"(\d{1,6})(?:\s?(?:-|–|—|to)\s?(\d{1,6}))?")


def servings_named(yields: str) -> int | None:
    """The first whole number in the yield ("4 to 6 people" gives 4), of a range the smaller; None when there is none or it makes no sense."""
    if re.match(r"\s*[-−]\s?\d", yields):
        return None
    if found := _PORTIONS.search(yields):
        number = min(int(each) for each in found.groups() if each)
    else:
        number = next((NUMBER_WORDS[word] for word in yields.lower().split() if NUMBER_WORDS.get(word, 0) > 1), 0)
    return number if 0 < number <= MOST_SERVINGS else None


def _structured(text: str) -> Pasted:
    try:
        pasted = sort_structured(text)
    except ValueError:
        raise InvalidRecipe(
            "This begins like recipe data (JSON) but breaks off or is damaged. Copy all of it, or paste the plain text."
        ) from None
    if pasted is None:
        raise InvalidRecipe("There is data in this page, but no recipe among it. Copy the words of the recipe instead.")
    return pasted


def _assemble(pasted: Pasted, *, source: str) -> Recipe:
    for name, lines in (("ingredients", pasted.ingredients), ("steps", pasted.steps)):
        if len(lines) > MOST_LINES:
            raise InvalidRecipe(f"{len(lines):,} {name} are more than a recipe has. Paste one recipe at a time.")
    language = language_of(
        "\n".join(line for _, line in (*pasted.ingredients, *pasted.steps, *pasted.unread)), pasted.language
    )
    unread = [Unread(pasted.title or "Language", said(language), is_of_text=False)] if language != "en" else []
    unread += [Unread(what, why) for what, why in pasted.unread]
    ingredients = tuple(read_ingredient(line, section) for section, line in pasted.ingredients)
    steps = tuple(
        read_step(number, words, section, language) for number, (section, words) in enumerate(pasted.steps, 1)
    )
    unread += [Unread(ingredient.text, ingredient.doubt) for ingredient in ingredients if ingredient.doubt]
    unread += [
        Unread(remark.words, f"Step {step.number}: {remark.why}", step.text)
        for step in steps
        for remark in step.remarks
    ]
    servings = servings_named(pasted.yields)
    if pasted.yields and servings is None:
        unread.append(Unread(pasted.yields, "No number of portions could be read from this."))
    elif (found := _PORTIONS.search(pasted.yields)) and found[2] and int(found[2]) < int(found[1]):
        unread.append(Unread(pasted.yields, "The portions run backwards; the smaller number was taken."))
    if not ingredients:
        unread.append(Unread("Ingredients", "No ingredients were found.", is_of_text=False))
    if not steps:
        unread.append(Unread("Method", "No steps were found. Split the text into steps by hand.", is_of_text=False))
    recipe = Recipe(
        pasted.title or "Recipe without a title",
        pasted.yields,
        servings,
        ingredients,
        steps,
        source=source,
        language=language,
    )
    return replace(recipe, notes=tuple(pasted.notes), headings=tuple(pasted.headings), unread=tuple(unread))
