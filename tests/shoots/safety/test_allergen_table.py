import tomllib
from importlib import resources

import pytest

from shoots.plan.allergens import read_allergen_words
from shoots.safety.allergen_table import dish_table

# Regulation (EU) No 1169/2011, Annex II, in its order; FALCPA 2004 with the FASTER Act 2021.
ANNEX_II = ["gluten", "crustaceans", "eggs", "fish", "peanuts", "soybeans", "milk", "nuts", "celery", "mustard", "sesame", "sulphites", "lupin", "molluscs"]  # fmt: skip
NOT_IN_US = {"celery", "mustard", "sulphites", "lupin", "molluscs"}


@pytest.fixture(scope="module")
def words():
    return read_allergen_words(tomllib.loads((resources.files("shoots.plan") / "allergens.toml").read_text("utf-8")))


def table(words, *ingredients, told=(), told_by="", steps=()):
    return dish_table("Stew", ingredients=ingredients, steps=steps, told=told, told_by=told_by, words=words)


def row(found, key):
    return next(each for each in found.rows if each.key == key)


def test_all_fourteen_and_the_nine_have_their_row(words):
    found = table(words)
    assert [each.key for each in found.rows] == ANNEX_II
    assert [each.annex_ii for each in found.rows] == list(range(1, 15))
    assert {each.key for each in found.rows if not each.us} == NOT_IN_US
    assert len(found.silent) == 14
    assert not found.has_recipe


def test_what_only_the_us_list_names_is_not_lost(words):
    """Pine nuts: not among the nuts of Annex II, a tree nut in the US (FDA allergen Q&A, edition 5, 6 January 2025, Table 1, read via a state agency)."""
    found = table(words, "50 g pine nuts", "30 g walnuts")
    assert (found.contains, found.us_only) == (("nuts",), ())
    found = table(words, "50 g pine nuts", "1 egg")
    assert (found.contains, found.us_only) == (("eggs",), ("nuts",))


def test_without_a_recipe_the_name_of_the_dish_is_read(words):
    bare = dish_table("Trout with tarragon", ingredients=[], steps=[], told=[], told_by="Maro", words=words)
    assert (bare.contains, bare.has_recipe) == (("fish",), False)
    assert bare.flags == ("The name of the dish names fish (“trout”); Maro did not tell fish: ask.",)
    read = dish_table("Trout with tarragon", ingredients=["1 leek"], steps=[], told=[], told_by="Maro", words=words)
    assert (read.contains, read.has_recipe) == ((), True)


def test_recipe_and_cook_side_by_side(words):
    found = table(
        words,
        "60 g butter",
        "1 l vegetable stock",
        told=["gluten", "milk", "pink pepper"],
        told_by="Maro",
        steps=["Dust with flour."],
    )
    assert (row(found, "milk").level, row(found, "milk").words, row(found, "milk").is_told) == (
        "contains",
        ("butter",),
        True,
    )
    assert row(found, "celery").level == "ask"
    assert row(found, "celery").us == ""
    assert row(found, "gluten").is_told
    assert row(found, "gluten").us == "wheat"
    assert found.contains == ("gluten", "milk")
    assert "celery" in found.ask
    assert found.told == ("gluten", "milk", "pink pepper")
    assert found.others == ("pink pepper",)


def test_what_the_recipe_names_and_the_cook_did_not_tell_is_flagged(words):
    found = table(words, "60 g butter", told=["eggs"], told_by="Maro Lantadze")
    assert "The recipe names milk (“butter”); Maro Lantadze did not tell milk: ask." in found.flags
    assert found.notes == ("Maro Lantadze told eggs; no word of the recipe points to it. It counts as told.",)
    assert table(words, told=["eggs"], told_by="Maro").notes == ()  # without a recipe there is nothing to compare


def test_nobody_asked_is_no_difference(words):
    assert table(words, "60 g butter").flags == ()


def test_agreed_is_no_difference(words):
    assert table(words, "60 g butter", told=["milk"], told_by="Maro").flags == ()
    assert table(words, "60 g butter", told=["Butter"], told_by="Maro").flags == ()


def test_often_in_it_is_asked_too(words):
    found = table(words, "1 l vegetable stock", told=[], told_by="Maro")
    assert any(flag == "Celery: often in “stock”, and Maro did not tell it. Ask." for flag in found.flags)


def test_words_not_understood_stay_as_typed_and_a_wide_one_asks_which(words):
    found = table(words, told=["pink pepper", "shellfish"], told_by="Maro")
    assert "“pink pepper” is none of the fourteen by its name. It is shown as typed: ask what is in it." in found.flags
    assert "“shellfish” may be crustaceans or molluscs: ask which." in found.flags
    assert found.others == ("pink pepper", "shellfish")


def test_pine_nuts_are_among_the_us_tree_nuts_only(words):
    # FDA allergen Q&A, edition 5, 6 January 2025, Table 1 (read via a state agency's bulletin)
    nuts = row(table(words, "30 g pine nuts"), "nuts")
    assert (nuts.level, nuts.us_level) == ("", "contains")
    assert nuts.is_named
