import json
import re
import time
from collections import Counter
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shoots.plan.allergens import suggest_allergens
from shoots.plan.moments import draft_moments
from shoots.plan.queries import allergen_words, kitchen_lexicon
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
        ("<html>" + "<p>It was late.</p>" * 200_000, "no recipe data is in it"),
        ("<p><script>steal()</script></p>", "only marks of a page"),
        ("Soup\n" + "Stir.\n" * 20_000, "20,001 lines are more"),
        ("Soup\nMethod\n" + "Stir.\n" * 501, "501 steps are more"),
        ("Soup\nIngredients\n" + "2 leeks\n" * 501, "501 ingredients are more"),
        ('[{"@graph":' * 100_000, "damaged"),
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


def test_a_piece_of_a_page_is_read_without_its_marks_and_scripts():
    recipe = read_recipe(
        "<h1>Soup</h1><script>steal('all')</script><h2>Ingredients</h2><ul><li>2 leeks</li></ul><h2>Method</h2><ol><li>Cut &amp; boil.</li></ol>"
    )
    assert (recipe.title, recipe.ingredients[0].name, recipe.steps[0].text) == ("Soup", "leeks", "Cut & boil.")


def test_a_second_recipe_in_the_data_is_named():
    recipe = read_recipe(json.dumps([{"@type": "Recipe", "name": "Soup"}, {"@type": "Recipe", "name": "Rolls"}]))
    assert recipe.title == "Soup"
    assert "Rolls" in [each.what for each in recipe.unread]


@pytest.mark.parametrize(
    ("text", "language"),
    [
        ("Soupe\nIngrédients\n2 poireaux\nPréparation\nLaver les poireaux.\nAjouter le sel et l'eau.", "French"),
        ("Suppe\nZutaten\n2 Stangen Lauch\nZubereitung\nDen Lauch waschen.\nDas Salz und die Butter zugeben.", "German"),
        ("Sopa\nIngredientes\n2 puerros\nPreparación\nLavar los puerros.\nAñadir la sal y el agua.", "Spanish"),
        ("Zuppa\nIngredienti\n2 porri\nPreparazione\nLavare i porri con l'acqua.\nAggiungere il sale e il burro.", "Italian"),
    ],
)  # fmt: skip
def test_a_recipe_in_another_language_is_kept_and_said_to_be_one(text, language):
    recipe = read_recipe(text)
    assert f"seems to be {language}" in recipe.unread[0].why
    assert (len(recipe.ingredients), len(recipe.steps)) == (1, 2)
    assert draft_moments(recipe.steps, kitchen_lexicon()) == ()


def test_a_sign_that_no_table_can_hold_is_left_out():
    recipe = read_recipe(
        json.dumps({"@type": "Recipe", "name": "S\x00oup \ud800", "recipeInstructions": [{"x": "\udfff"}]})
    )
    recipe.title.encode()
    recipe.unread[0].what.encode()
    assert "\x00" not in recipe.title


# Nothing is dropped. Marks and list numbers may go, letters may not.


def letters(text):
    return Counter(re.findall(r"[^\W\d_]", text.lower()))


def kept(recipe):
    lines = [recipe.title] if recipe.title != "Recipe without a title" else []
    lines += [recipe.yields, *recipe.headings, *recipe.notes, *(each.text for each in recipe.ingredients)]
    lines += [step.text for step in recipe.steps] + [each.what for each in recipe.unread if each.is_of_text]
    return " ".join(lines)


LINE = st.one_of(
    st.sampled_from(
        [
            "Ingredients", "Ingredients (serves 4)", "Ingredients: 2 eggs, 100 g flour, salt", "Method:", "Method: Wash. Cut.", "DIRECTIONS", "Notes", "Tip: a wide pan",
            "", "   ", "For the dough:", "# Sauce", "Serves: 4", "Makes twelve", "Serves 0", "Prep time: 5 min", "Preparation: 20 min", "2 leeks", "- salt", "1 c sugar",
            "10-5 g salt", "Juice of 1/2 lemon", "butter: 150 g", "1. Wash the leeks.", "1. Wash. 2. Cut. 3. Boil.", "2) Bake at 900 °F for 80 hours.", "Step 3", "12.",
            "and dry them.", "180 °C for an hour", "Bake for an hour until done.", "**Cheese**", "•", "Waschen und mit der Butter in den Topf geben.", "(",
        ]
    ),
    st.text(alphabet="abc ÄIé12.,:;-*#()/½°\t", max_size=40),
)  # fmt: skip


@given(st.lists(LINE, max_size=25))
def test_no_line_of_a_text_is_dropped(lines):
    text = "\n".join(lines)
    try:
        recipe = read_recipe(text)
    except InvalidRecipe:
        assert not text.strip()
    else:
        assert not letters(text) - letters(kept(recipe))


WORDS = st.text(alphabet="abc é12.,-", max_size=20)
HOW_TO = st.recursive(
    WORDS | st.fixed_dictionaries({"@type": st.sampled_from(["HowToStep", "HowToTip", "HowToDirection", "X"])}, optional={"text": WORDS, "name": WORDS}),
    lambda inner: st.lists(inner, max_size=3)
    | st.fixed_dictionaries(
        {"@type": st.sampled_from(["HowToSection", "HowToStep", "ItemList"]), "itemListElement": inner}, optional={"text": WORDS, "name": WORDS}
    ),
    max_leaves=8,
)  # fmt: skip


def words_in(value):
    if isinstance(value, dict):
        return " ".join(words_in(inner) for key, inner in value.items() if key != "@type")
    return " ".join(words_in(inner) for inner in value) if isinstance(value, list) else value


@settings(max_examples=50)
@given(WORDS, st.lists(WORDS, max_size=3), st.lists(WORDS, max_size=4), HOW_TO)
def test_no_words_of_data_are_dropped(name, yields, ingredients, instructions):
    given_ = {"name": name, "recipeYield": yields, "recipeIngredient": ingredients, "recipeInstructions": instructions}
    recipe = read_recipe(json.dumps({"@type": "Recipe", **given_}))
    said = re.findall(r"[^\W\d_]+", words_in(given_))
    assert set(said) <= set(re.findall(r"[^\W\d_]+", kept(recipe)))


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False) | st.text(max_size=10),
    lambda inner: st.lists(inner, max_size=3)
    | st.dictionaries(st.sampled_from(["@type", "text", "name", "value", "itemListElement", "item", "steps", "@graph"]), inner, max_size=3),
    max_leaves=10,
)  # fmt: skip
KEYS = st.sampled_from(
    [
        "name",
        "recipeYield",
        "recipeIngredient",
        "recipeInstructions",
        "prepTime",
        "tool",
        "inLanguage",
        "recipeCategory",
    ]
)


@given(st.dictionaries(KEYS, JSON))
def test_data_of_any_shape_is_read_or_refused_in_words(node):
    recipe = read_recipe(json.dumps({"@type": "Recipe", **node}))
    assert recipe.title
    draft_moments(recipe.steps, kitchen_lexicon())


@given(st.text(alphabet="aA1½ .,;:()<>[]{}\"'-–/*#°\n\t&", max_size=300))
def test_marks_without_end_are_read_or_refused_in_words(text):
    try:
        recipe = read_recipe(text)
    except InvalidRecipe:
        pass
    else:
        draft_moments(recipe.steps, kitchen_lexicon())
        suggest_allergens([each.text for each in recipe.ingredients], allergen_words())


@pytest.mark.parametrize(
    "words", ["(", "((a", "1 ", "1/", "9", "<a", "<br", "**", " a", "[{", "until cut and ", "vegan ", "let the ", "1 to "]
)  # fmt: skip
@pytest.mark.parametrize("begin", ["Soup\nIngredients\n", "Soup\nMethod\n1. ", "data"])
def test_sixty_thousand_signs_without_an_end_take_no_time(words, begin):
    """What takes time by the square would take minutes; processor time, so that a busy machine is no fault."""
    text = words * (60_000 // len(words))
    text = json.dumps({"@type": "Recipe", "recipeInstructions": text}) if begin == "data" else begin + text
    start = time.process_time()
    try:
        recipe = read_recipe(text)
    except InvalidRecipe:
        pass
    else:
        draft_moments(recipe.steps, kitchen_lexicon())
        suggest_allergens(
            [each.text for each in recipe.ingredients], allergen_words(), steps=[each.text for each in recipe.steps]
        )
    assert time.process_time() - start < 8


def test_a_novel_is_refused_at_once():
    start = time.process_time()
    with pytest.raises(InvalidRecipe, match="more than a recipe has"):
        read_recipe("It was late, and the kitchen was dark. " * 52_000)
    assert time.process_time() - start < 0.5


@pytest.mark.parametrize(
    ("value", "yields", "servings", "why"),
    [
        (0, "0", None, "No number of portions could be read from this."),
        (-3, "-3", None, "No number of portions could be read from this."),
        ("6-4 people", "6-4 people", 4, "The portions run backwards; the smaller number was taken."),
    ],
)
def test_odd_portions_are_kept_and_said(value, yields, servings, why):
    text = {
        "@type": "Recipe",
        "name": "X",
        "recipeYield": value,
        "recipeIngredient": ["1 egg"],
        "recipeInstructions": "Bake.",
    }
    recipe = read_recipe(json.dumps(text))
    assert (recipe.yields, recipe.servings) == (yields, servings)
    assert [(each.what, each.why) for each in recipe.unread] == [(yields, why)]
