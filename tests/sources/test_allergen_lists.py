"""The allergens of our word list against the two lists the law names, by key and by member.

European Union: Regulation (EU) No 1169/2011, Annex II, points 1 to 14 (cereals and nuts by name in points 1 and 8; spelt and khorasan wheat as amended by
Regulation (EU) No 78/2014); the points were read in reprints of the annex, not in the Official Journal.
United States: Federal Food, Drug, and Cosmetic Act, section 201(qq)(1) (21 U.S.C. 321(qq)(1)), as made by FALCPA 2004 for eight and amended by the FASTER
Act 2021 for sesame; read in law firms' and trade reports of the two acts. Which nuts are tree nuts there: FDA allergen Q&A, edition 5, 6 Jan 2025, Table 1,
read via a state agency's bulletin. The food named beside each point is ours.
"""

import pytest

from shoots.plan.allergens import allergen_key_of, suggest_allergens
from shoots.plan.queries import allergen_words

# Point of Annex II: our key, and foods the annex names there or that plainly are of that class.
ANNEX_II = {
    1: ("gluten", ["wheat", "rye", "barley", "oats", "spelt", "khorasan wheat"]),
    2: ("crustaceans", ["crustaceans", "prawns", "lobster", "crab", "crayfish"]),
    3: ("eggs", ["eggs"]),
    4: ("fish", ["fish", "haddock"]),
    5: ("peanuts", ["peanuts"]),
    6: ("soybeans", ["soybeans", "tofu"]),
    7: ("milk", ["milk", "lactose", "cream"]),
    8: ("nuts", ["almonds", "hazelnuts", "walnuts", "cashews", "pecan nuts", "Brazil nuts", "pistachio nuts", "macadamia", "Queensland nuts"]),
    9: ("celery", ["celery", "celeriac"]),
    10: ("mustard", ["mustard"]),
    11: ("sesame", ["sesame seeds", "tahini"]),
    12: ("sulphites", ["sulphur dioxide", "sulphites"]),
    13: ("lupin", ["lupin"]),
    14: ("molluscs", ["molluscs", "mussels", "squid", "snails"]),
}  # fmt: skip

# What section 201(qq)(1) calls each, our key for it, and a food.
UNITED_STATES = {
    "milk": ("milk", "milk"),
    "eggs": ("eggs", "egg"),
    "fish": ("fish", "cod"),
    "crustacean shellfish": ("crustaceans", "shrimp"),
    "tree nuts": ("nuts", "almonds"),
    "wheat": ("gluten", "wheat"),
    "peanuts": ("peanuts", "peanuts"),
    "soybeans": ("soybeans", "soybeans"),
    "sesame": ("sesame", "sesame"),
}


def found_in(food: str, *, us: bool = False) -> dict[str, str]:
    return {each.key: each.level for each in suggest_allergens([food], allergen_words(), us=us)}


def test_the_fourteen_points_of_annex_ii_are_our_fourteen_keys() -> None:
    assert {each.annex_ii: each.key for each in allergen_words().allergens} == {
        point: key for point, (key, _) in ANNEX_II.items()
    }


@pytest.mark.parametrize(("key", "food"), [(key, food) for key, foods in ANNEX_II.values() for food in foods])
def test_a_food_of_each_point_is_found_by_name(key: str, food: str) -> None:
    assert found_in(food)[key] == "contains"
    assert allergen_key_of(food, allergen_words()) == key


def test_the_nine_of_the_united_states_are_named_and_no_others() -> None:
    assert {each.us: each.key for each in allergen_words().allergens if each.us} == {
        name: key for name, (key, _) in UNITED_STATES.items()
    }


@pytest.mark.parametrize(("name", "key", "food"), [(name, *rest) for name, rest in UNITED_STATES.items()])
def test_a_food_of_each_of_the_nine_is_found_under_its_name_there(name: str, key: str, food: str) -> None:
    (found,) = [each for each in suggest_allergens([food], allergen_words(), us=True) if each.key == key]
    assert (found.us, found.level) == (name, "contains")


@pytest.mark.parametrize(
    "food", ["celery", "mustard", "lupin", "sulphites", "mussels", "rye", "barley", "oats", "malt"]
)
def test_what_only_annex_ii_names_is_not_on_the_list_of_the_united_states(food: str) -> None:
    assert "contains" in found_in(food).values()
    assert "contains" not in found_in(food, us=True).values()


def test_wheat_is_narrower_than_gluten() -> None:
    assert found_in("wheat flour", us=True) == {"gluten": "contains"}
    assert found_in("spelt", us=True) == {"gluten": "contains"}
    assert found_in("beer") == {"gluten": "contains"}
    assert found_in("beer", us=True) == {"gluten": "ask"}
    assert found_in("oat milk") == {"gluten": "contains"}
    assert found_in("oat milk", us=True) == {}


def test_pine_nuts_are_nuts_there_only() -> None:
    assert found_in("pine nuts") == {}
    assert found_in("pine nuts", us=True) == {"nuts": "contains"}
