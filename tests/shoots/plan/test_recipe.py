import json
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shoots.plan.recipe import InvalidRecipe, Unread, read_recipe, servings_named
from studio.demo.recipes import BEAN_STEW, BREAD_BOAT, LEEK_ROLLS, RECIPES


def test_a_plain_text_recipe_is_read_whole():
    recipe = read_recipe(BREAD_BOAT)
    assert (recipe.title, recipe.servings, len(recipe.ingredients), len(recipe.steps)) == (
        "Bread boat with egg yolk",
        4,
        9,
        9,
    )
    assert (recipe.steps[6].minutes_from, recipe.steps[6].minutes_to, recipe.steps[6].celsius) == (12, 14, 240)
    assert (recipe.ingredients[0].quantity, recipe.ingredients[0].unit, recipe.ingredients[0].name) == (
        Decimal(400),
        "g",
        "strong wheat flour",
    )


def test_lines_without_bullets_or_numbers_are_read_too():
    recipe = read_recipe(LEEK_ROLLS)
    assert (recipe.servings, len(recipe.ingredients), len(recipe.steps)) == (6, 9, 9)
    assert recipe.ingredients[8].quantity == Decimal(50)


def test_overnight_is_eight_to_twelve_hours():
    soak = read_recipe(BEAN_STEW).steps[0]
    assert (soak.minutes_from, soak.minutes_to) == (480, 720)


@pytest.mark.parametrize("text", RECIPES.values(), ids=RECIPES.keys())
def test_every_recipe_of_the_kitchen_is_read_with_at_most_a_remark(text):
    assert len(read_recipe(text).unread) <= 1


def test_the_same_recipe_as_data_and_as_text_gives_the_same_steps():
    plain = read_recipe(BEAN_STEW)
    data = {
        "@type": "Recipe",
        "name": plain.title,
        "recipeYield": "4 to 6",
        "recipeIngredient": [each.text for each in plain.ingredients],
    }
    structured = read_recipe(json.dumps(data | {"recipeInstructions": [step.text for step in plain.steps]}))
    assert (structured.steps, structured.ingredients, structured.servings) == (
        plain.steps,
        plain.ingredients,
        plain.servings,
    )
    assert (plain.source, structured.source) == ("text", "schema.org")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "No recipe was pasted"),
        (" \n\t", "No recipe was pasted"),
        ("word " * 400_000, "more than a recipe has"),
        ('{"@type": "Recipe", "name": ', "damaged"),
        ('{"@type": "Person"}', "no recipe among it"),
        ("<!doctype html><script>steal()</script><p>Wash.</p>", "no recipe data is in it"),
    ],
)
def test_what_is_no_recipe_is_refused_in_words(text, said):
    with pytest.raises(InvalidRecipe, match=said):
        read_recipe(text)


def test_a_yield_without_a_number_is_shown_as_unread():
    recipe = read_recipe("Soup\nServes: 0\nMethod\nBoil the water.")
    assert recipe.servings is None
    assert Unread("0", "No number of portions could be read from this.") in recipe.unread


def test_a_recipe_without_steps_says_so_and_keeps_the_words():
    recipe = read_recipe("Suppe\nEine Prise Salz")
    assert "Split the text into steps by hand." in recipe.unread[-1].why
    assert "Eine Prise Salz" in [each.what for each in recipe.unread]


@pytest.mark.parametrize(
    ("yields", "servings"),
    [("4 to 6 people", 4), ("makes twelve rolls", 12), ("a pot", None), ("0", None), ("99999", None)],
)
def test_portions_are_the_first_number_that_makes_sense(yields, servings):
    assert servings_named(yields) == servings


@given(st.text(max_size=400))
def test_any_text_is_read_or_refused_in_words(text):
    try:
        title = read_recipe(text).title
    except InvalidRecipe as refusal:
        title = str(refusal)
    assert title


def test_a_bracket_at_the_start_does_not_make_it_data():
    assert read_recipe("[Soup] for cold days\nMethod\nBoil the water.").title == "[Soup] for cold days"
