"""A recipe that was read, as the JSON of the shell door and as lines to read there."""

from __future__ import annotations

import re
from collections.abc import Iterator
from decimal import Decimal
from typing import Any

from shoots.plan.allergens import CAUTION, AllergenWords, SuggestedAllergen, suggest_allergens
from shoots.plan.lexicon import Lexicon
from shoots.plan.moments import draft_moments
from shoots.plan.recipe import Recipe
from shoots.plan.steps import Step


def recipe_as_json(recipe: Recipe, lexicon: Lexicon, words: AllergenWords) -> dict[str, Any]:
    """Title, servings, ingredients, steps, allergens and what was not read.

    A range of quantities gives its lower end; minutes are [low, high]; what is not named is null. `unread` holds the words that could not be
    read, or only with doubt, and the notes, so that no line of the source but its headings and times is missing from the answer.
    """
    actions = _actions(recipe, lexicon)
    return {
        "title": recipe.title,
        "servings": recipe.servings,
        "ingredients": [
            {"text": each.text, "quantity": _number(each.quantity), "unit": each.unit or None, "name": each.name}
            for each in recipe.ingredients
        ],
        "steps": [
            {
                "number": step.number,
                "text": step.text,
                "actions": actions.get(step.number, []),
                "minutes": _minutes(step),
                "celsius": step.celsius,
            }
            for step in recipe.steps
        ],
        "allergens": [
            {"key": each.key, "level": each.level, "from": list(each.words)} for each in _allergens(recipe, words)
        ],
        "unread": list(dict.fromkeys([each.what for each in recipe.unread if each.is_of_text] + list(recipe.notes))),
    }


def recipe_as_lines(recipe: Recipe, lexicon: Lexicon, words: AllergenWords) -> Iterator[str]:
    """The same for a person at a terminal, with the reasons of what was not read."""
    actions = _actions(recipe, lexicon)
    yield _shown(recipe.title)
    yield f"Portions: {recipe.servings}" if recipe.servings else "Portions: not known"
    yield from ("", "Ingredients")
    for each in recipe.ingredients:
        yield f"  {_shown(each.text)}"
    yield from ("", "Steps")
    for step in recipe.steps:
        minutes = "" if step.minutes_from is None else f"{_span(step)} min"
        celsius = "" if step.celsius is None else f"{step.celsius} °C"
        read = ", ".join(part for part in (*actions.get(step.number, []), minutes, celsius) if part)
        yield f"  {step.number}. {_shown(step.text)}"
        yield f"     {read or 'no action read'}"
    yield from ("", f"Allergens. {CAUTION}")
    for found in _allergens(recipe, words):
        yield f"  {found.level}: {found.name}, from {', '.join(found.words)}"
    if recipe.notes:
        yield from ("", "Notes", *(f"  {_shown(note)}" for note in recipe.notes))
    if recipe.unread:
        yield from ("", "Not read, or read with doubt")
        yield from (f"  {_shown(each.what)[:200]}: {each.why}" for each in recipe.unread)


def _actions(recipe: Recipe, lexicon: Lexicon) -> dict[int, list[str]]:
    found: dict[int, list[str]] = {}
    for moment in draft_moments(recipe.steps, lexicon):
        found.setdefault(moment.step_number, []).append(moment.action_id)
    return found


def _allergens(recipe: Recipe, words: AllergenWords) -> tuple[SuggestedAllergen, ...]:
    return suggest_allergens(
        [each.text for each in recipe.ingredients], words, steps=[step.text for step in recipe.steps]
    )


def _number(quantity: Decimal | None) -> int | float | None:
    if quantity is None:
        return None
    return int(quantity) if quantity == quantity.to_integral_value() else float(quantity)


def _minutes(step: Step) -> list[int] | None:
    if step.minutes_from is None or step.minutes_to is None:
        return None
    return [step.minutes_from, step.minutes_to]


def _span(step: Step) -> str:
    return (
        f"{step.minutes_from}" if step.minutes_from == step.minutes_to else f"{step.minutes_from} to {step.minutes_to}"
    )


def _shown(text: str) -> str:
    """Without what a terminal would obey instead of showing."""
    return re.sub(r"[\x00-\x1f\x7f-\x9f]", " ", text)
