"""The kitchen's word tables, read from the files beside this one and kept."""

from __future__ import annotations

import tomllib
from functools import cache
from importlib import resources

from shoots.plan.allergens import AllergenWords, read_allergen_words
from shoots.plan.lexicon import Cue, Lexicon, read_cues, read_lexicon


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


def _table(name: str) -> dict[str, object]:
    return tomllib.loads((resources.files("shoots.plan") / name).read_text(encoding="utf-8"))
