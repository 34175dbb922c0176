"""The allergens of a dish side by side: what its recipe's words point to on the EU and the US list, what the cook told, and where they differ.

Regulation (EU) No 1169/2011, Annex II (fourteen); FALCPA 2004 and the FASTER Act 2021 (nine). Never a declaration.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from shared.words.formats import with_capital
from shoots.plan.allergens import (
    ASK,
    CONTAINS,
    Allergen,
    AllergenWords,
    SuggestedAllergen,
    allergen_keys_of,
    suggest_allergens,
)

# Differences between the two lists that no word list settles.
US_WHEAT = "The US list names wheat only: rye, barley and oats are gluten in the EU and not among the nine."
NOT_IN_US = "celery, mustard, lupin, sulphites and molluscs are not among the nine"


@dataclass(frozen=True, slots=True)
class Row:
    """One of the fourteen for a dish. Levels are `contains`, `ask` or empty; ``us`` is its name among the nine (empty: not one of them)."""

    key: str
    name: str
    annex_ii: int
    us: str
    level: str
    words: tuple[str, ...]
    us_level: str
    us_words: tuple[str, ...]
    is_told: bool

    @property
    def is_named(self) -> bool:
        return bool(self.level or self.us_level or self.is_told)


@dataclass(frozen=True, slots=True)
class DishTable:
    """The fourteen rows of a dish, what was typed and is none of them, in sentences what to ask, and what was told beyond the recipe."""

    dish: str
    told_by: str
    rows: tuple[Row, ...]
    others: tuple[str, ...]
    flags: tuple[str, ...]
    notes: tuple[str, ...]
    has_recipe: bool

    @property
    def named(self) -> tuple[Row, ...]:
        """The rows that the recipe or the cook names."""
        return tuple(row for row in self.rows if row.is_named)

    @property
    def silent(self) -> tuple[str, ...]:
        """The names of those that neither names."""
        return tuple(row.name for row in self.rows if not row.is_named)

    @property
    def contains(self) -> tuple[str, ...]:
        """Keys the recipe's words name."""
        return tuple(row.key for row in self.rows if row.level == CONTAINS)

    @property
    def us_only(self) -> tuple[str, ...]:
        """Keys the recipe's words name on the US list and not on the EU's: pine nuts are a tree nut there (FDA allergen Q&A, edition 5, Table 1)."""
        return tuple(row.key for row in self.rows if row.us_level == CONTAINS and row.level != CONTAINS)

    @property
    def ask(self) -> tuple[str, ...]:
        return tuple(row.key for row in self.rows if row.level == ASK)

    @property
    def told(self) -> tuple[str, ...]:
        """What was told, by key, and as typed where it is none of the fourteen."""
        return (*(row.key for row in self.rows if row.is_told), *self.others)


def dish_table(
    dish: str,
    *,
    ingredients: Iterable[str],
    steps: Iterable[str],
    told: Iterable[str],
    told_by: str,
    words: AllergenWords,
) -> DishTable:
    """The table of one dish. ``told_by`` is empty while nobody was asked. Without a recipe the name of the dish is read."""
    ingredients, steps = list(ingredients), list(steps)
    has_recipe = bool(ingredients or steps)
    if not has_recipe:
        ingredients = [dish]  # "Trout with tarragon" names fish, read or not
    eu = {each.key: each for each in suggest_allergens(ingredients, words, steps=steps)}
    us = {each.key: each for each in suggest_allergens(ingredients, words, steps=steps, us=True)}
    meant = {typed: allergen_keys_of(typed, words) for typed in told}
    keys = {found[0] for found in meant.values() if len(found) == 1}
    others = tuple(typed for typed, found in meant.items() if len(found) != 1)
    rows = tuple(
        _row(allergen, eu.get(allergen.key), us.get(allergen.key), is_told=allergen.key in keys)
        for allergen in words.allergens
    )
    names = {row.key: row.name for row in rows}
    source = "recipe" if has_recipe else "name of the dish"
    flags = [*_differences(rows, told_by, source), *_not_understood(meant, names)]
    beyond = [row.name for row in rows if has_recipe and row.is_told and not (row.level or row.us_level)]
    notes = tuple(f"{told_by} told {name}; no word of the recipe points to it. It counts as told." for name in beyond)
    return DishTable(dish, told_by, rows, others, tuple(flags), notes, has_recipe)


def _row(allergen: Allergen, eu: SuggestedAllergen | None, us: SuggestedAllergen | None, *, is_told: bool) -> Row:
    return Row(
        allergen.key,
        _short(allergen.name),
        allergen.annex_ii,
        allergen.us,
        eu.level if eu else "",
        eu.words if eu else (),
        us.level if us else "",
        us.words if us else (),
        is_told,
    )


def _short(name: str) -> str:
    return re.split(r"[(:,]| above", name)[0].strip().lower()


def _differences(rows: Iterable[Row], told_by: str, source: str) -> list[str]:
    found = []
    for row in rows:
        level, words = (row.level, row.words) if row.level else (row.us_level, row.us_words)
        said = ", ".join(words[:3])
        if told_by and level == CONTAINS and not row.is_told:
            found.append(f"The {source} names {row.name} (“{said}”); {told_by} did not tell {row.name}: ask.")
        elif told_by and level == ASK and not row.is_told:
            found.append(f"{with_capital(row.name)}: often in “{said}”, and {told_by} did not tell it. Ask.")
    return found


def _not_understood(meant: dict[str, tuple[str, ...]], names: dict[str, str]) -> list[str]:
    found = []
    for typed, keys in meant.items():
        if len(keys) > 1:
            found.append(f"“{typed}” may be {' or '.join(names[key] for key in keys)}: ask which.")
        elif not keys:
            found.append(f"“{typed}” is none of the fourteen by its name. It is shown as typed: ask what is in it.")
    return found
