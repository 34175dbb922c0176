"""Durations and shapes of a recipe given as data.

ISO 8601-1:2019 (as quoted in the reference of a public industrial standard, not read in the original): a duration is P[n]Y[n]M[n]DT[n]H[n]M[n]S or P[n]W;
the last number may have a decimal fraction, with a comma or a point (from memory, 5.5.2). schema.org/Recipe, schema.org/recipeInstructions, schema.org/HowToStep,
schema.org/HowToSection, schema.org/QuantitativeValue: which types stand where. The recipes are ours.
"""

import json
from typing import Any

import pytest

from shoots.plan.recipe import read_recipe
from shoots.plan.schema_org import duration_minutes

WASH, POUND = "Wash the leeks.", "Pound the walnuts."


@pytest.mark.parametrize(
    ("text", "minutes"),
    [
        ("PT30M", 30), ("PT1H30M", 90), ("PT90M", 90), ("PT36H", 2160), ("P1D", 1440), ("P1DT2H", 1560), ("P1W", 10_080), ("PT45S", 1), ("PT0,5H", 30),
        ("PT1.5H", 90), ("P0DT0H45M", 45), ("P0Y0M0DT0H35M0.000S", 35), ("pt1h", 60), ("PT0M", None), ("P0D", None),
    ],
)  # fmt: skip
def test_a_duration_of_the_standard_is_read(text: str, minutes: int | None) -> None:
    assert duration_minutes(text) == minutes


@pytest.mark.parametrize(
    "text", ["PT90", "P30", "PT", "P", "P1DT", "PT1H30", "-PT5M", "P1M", "P1Y", "PTH", "1H", "PT1H 30M", "P1H25M", ""]
)
def test_what_the_standard_does_not_know_or_leaves_open_is_none(text: str) -> None:
    with pytest.raises(ValueError):
        duration_minutes(text)


def step(text: str, kind: str = "HowToStep") -> dict[str, Any]:
    return {"@type": kind, "text": text}


@pytest.mark.parametrize(
    "instructions",
    [
        f"{WASH}\n{POUND}",
        f"1. {WASH} 2. {POUND}",
        f"<ol><li>{WASH}</li><li>{POUND}</li></ol>",
        [WASH, POUND],
        [step(WASH), {"@type": "HowToStep", "name": POUND}],
        [{"@type": "HowToSection", "name": "All", "itemListElement": [step(WASH), step(POUND)]}],
        [{"@type": "HowToSection", "name": "All", "itemListElement": [WASH, POUND]}],
        {"@type": "ItemList", "itemListElement": [step(WASH), step(POUND)]},
        {"@type": "ItemList", "itemListElement": [{"@type": "ListItem", "position": 1, "item": step(WASH)}, {"@type": "ListItem", "item": step(POUND)}]},
        [{"@type": "HowToStep", "itemListElement": [step(WASH, "HowToDirection"), step("Sand hides in them.", "HowToTip"), step(POUND, "HowToDirection")]}],
        [{"@type": ["HowToStep"], "text": WASH}, {"@type": "http://schema.org/HowToStep", "text": POUND}],
        [{"@type": "CreativeWork", "text": WASH}, {"text": POUND}],
    ],
)  # fmt: skip
@pytest.mark.parametrize("type_", ["Recipe", ["NewsArticle", "Recipe"], "https://schema.org/Recipe", "schema:Recipe"])
def test_every_shape_of_the_instructions_gives_the_same_steps(instructions: Any, type_: Any) -> None:
    recipe = read_recipe(json.dumps({"@type": type_, "name": "Rolls", "recipeInstructions": instructions}))
    assert [each.text for each in recipe.steps] == [WASH, POUND]


@pytest.mark.parametrize(
    ("given", "yields", "servings"),
    [
        ("4 servings", "4 servings", 4),
        (4, "4", 4),
        ("4.0", "4.0", 4),
        (["a pan", "6"], "6", 6),
        ({"@type": "QuantitativeValue", "value": 4, "unitText": "portions"}, "4 portions", 4),
        ([{"@type": "QuantitativeValue", "value": "8"}], "8", 8),
        (None, "", None),
        ("a pan", "a pan", None),
    ],
)
def test_every_shape_of_the_yield_is_read(given: Any, yields: str, servings: int | None) -> None:
    recipe = read_recipe(json.dumps({"@type": "Recipe", "name": "Rolls", "recipeYield": given}))
    assert (recipe.yields, recipe.servings) == (yields, servings)


@pytest.mark.parametrize(
    "given",
    [
        "200 g walnuts",
        ["200 g walnuts"],
        [{"@type": "PropertyValue", "name": "walnuts", "value": 200, "unitText": "g"}],
        [{"@type": "HowToSupply", "name": "walnuts", "requiredQuantity": {"@type": "QuantitativeValue", "value": 200, "unitText": "g"}}],
        [{"@type": "HowToSupply", "name": "walnuts", "requiredQuantity": "200 g"}],
    ],
)  # fmt: skip
def test_every_shape_of_an_ingredient_is_read(given: Any) -> None:
    (line,) = read_recipe(json.dumps({"@type": "Recipe", "name": "Rolls", "recipeIngredient": given})).ingredients
    assert (line.text, line.quantity, line.unit, line.name) == ("200 g walnuts", 200, "g", "walnuts")


def test_all_that_is_used_of_a_recipe_is_kept() -> None:
    recipe = read_recipe(
        json.dumps(
            {
                "@type": "Recipe", "name": "Rolls", "inLanguage": "en", "recipeYield": ["6 portions", "24 rolls"], "recipeCategory": "Cold", "recipeCuisine": "Ours",
                "prepTime": "PT20M", "cookTime": "PT90", "performTime": "PT0S", "totalTime": ["PT1H"], "tool": [{"@type": "HowToTool", "name": "Mortar"}, "Knife"],
                "recipeInstructions": WASH,
            }
        )
    )  # fmt: skip
    assert recipe.headings == (
        "Yield: 24 rolls", "Preparation: 20 minutes", "Work: not known (PT0S)", "In all: 60 minutes", "Category: Cold", "Cuisine: Ours",
    )  # fmt: skip
    assert recipe.notes == ("Tools: Mortar, Knife",)
    assert "Cooking: PT90" in [each.what for each in recipe.unread]
