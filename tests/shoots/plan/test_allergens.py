import pytest

from shoots.plan.allergens import (
    CAUTION,
    InvalidAllergenWords,
    allergen_key_of,
    allergen_keys_of,
    read_allergen_words,
    suggest_allergens,
)
from shoots.plan.queries import allergen_words
from shoots.plan.recipe import read_recipe
from studio.demo.recipes import BEAN_STEW, BREAD_BOAT, LEEK_ROLLS


def levels_in(line, *, us=False):
    return {found.key: found.level for found in suggest_allergens([line], allergen_words(), us=us)}


def levels_of(text):
    recipe = read_recipe(text)
    found = suggest_allergens(
        [each.text for each in recipe.ingredients], allergen_words(), steps=[each.text for each in recipe.steps]
    )
    return {each.key: each.level for each in found}


@pytest.mark.parametrize(
    ("line", "levels"),
    [
        ("2 egg yolks, beaten", {"eggs": "contains"}),
        ("200 g walnuts", {"nuts": "contains"}),
        ("vegetable stock", {"gluten": "ask", "celery": "ask"}),
        ("almond milk", {"nuts": "contains"}),
        ("peanut butter", {"peanuts": "contains"}),
        ("coconut milk", {}),
        ("oyster mushrooms", {}),
        ("butter beans and nutmeg", {}),
        ("leeks", {}),
    ],
)
def test_names_and_look_alikes(line, levels):
    assert levels_in(line) == levels


@pytest.mark.parametrize(
    ("line", "levels"),
    [
        ("dairy-free bread", {"gluten": "contains", "milk": "ask"}),
        ("vegan peanut satay", {"peanuts": "contains"}),
        ("vegan mayonnaise", {"eggs": "ask", "soybeans": "ask", "mustard": "ask"}),
        ("pasta (gluten-free)", {"gluten": "ask", "eggs": "ask"}),
        ("butter, or vegan if you like", {"milk": "contains"}),
        ("gluten-free flour and wheat bread", {"gluten": "contains", "milk": "ask"}),
        ("no butter", {"milk": "ask"}),
        ("bread without butter", {"gluten": "contains", "milk": "contains"}),
    ],
)
def test_a_claim_asks_and_never_silences(line, levels):
    assert levels_in(line) == levels


def test_pine_nuts_are_nuts_on_the_list_of_the_united_states_only():
    """FDA allergen Q&A, edition 5, 6 Jan 2025, Table 1 (read via a state agency's bulletin); not in Annex II of Regulation (EU) 1169/2011."""
    assert levels_in("pine nuts") == {}
    assert levels_in("pine nuts", us=True) == {"nuts": "contains"}


def test_the_recipes_of_the_kitchen():
    assert levels_of(BREAD_BOAT) == {"gluten": "contains", "eggs": "contains", "milk": "contains"}
    assert levels_of(LEEK_ROLLS) == {"gluten": "ask", "nuts": "contains", "sulphites": "ask"}
    assert levels_of(BEAN_STEW) == {}


def test_a_tin_that_is_buttered_in_a_step_counts_though_no_list_names_it():
    found = suggest_allergens([], allergen_words(), steps=["Butter and flour the tin, roll out the rest."])
    assert [each.key for each in found] == ["gluten", "milk"]


def test_the_caution_is_at_hand():
    assert CAUTION.endswith("Not a declaration.")


def test_a_table_without_its_parts_is_refused():
    with pytest.raises(InvalidAllergenWords):
        read_allergen_words({"allergen": []})


@pytest.mark.parametrize(
    ("typed", "key"),
    [
        ("gluten", "gluten"),
        ("Wheat", "gluten"),
        ("cereals containing gluten", "gluten"),
        ("Weizen", "gluten"),
        ("milk", "milk"),
        (" Dairy. ", "milk"),
        ("lactose", "milk"),
        ("nuts", "nuts"),
        ("tree nuts", "nuts"),
        ("Schalenfrüchte", "nuts"),
        ("walnuts", "nuts"),
        ("peanut", "peanuts"),
        ("egg", "eggs"),
        ("soya", "soybeans"),
        ("sesame seeds", "sesame"),
        ("sulfites", "sulphites"),
        ("SO2", "sulphites"),
        ("sulphur dioxide and sulphites above 10 mg/kg or 10 mg/l as SO2", "sulphites"),
        ("prawns", "crustaceans"),
        ("molluscs", "molluscs"),
        ("celery (in the stock)", "celery"),
        ("almond milk", "nuts"),
        ("shellfish", None),
        ("soy sauce", None),
        ("gluten-free", None),
        ("coriander", None),
        ("none", None),
        ("", None),
        ("()", None),
    ],
)
def test_what_a_cook_types_is_matched_to_the_allergen(typed, key):
    assert allergen_key_of(typed, allergen_words()) == key


def test_a_word_that_covers_several_allergens_names_them_all():
    assert allergen_keys_of("shellfish", allergen_words()) == ("crustaceans", "molluscs")
    assert allergen_keys_of("seafood", allergen_words()) == ("crustaceans", "fish", "molluscs")
    assert allergen_keys_of("soy sauce", allergen_words()) == ("gluten", "soybeans")
    assert allergen_keys_of("coriander", allergen_words()) == ()


def test_each_allergen_is_found_by_its_own_key_and_name():
    for allergen in allergen_words().allergens:
        assert allergen.key in allergen_keys_of(allergen.key, allergen_words())
        assert allergen.key in allergen_keys_of(allergen.name, allergen_words())
