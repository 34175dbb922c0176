import pytest

from shoots.shopping.guessing import guess_lines

NAMES = [
    "strong wheat flour", "warm milk", "dried yeast", "salt", "sunflower oil", "young cheese", "brined cheese", "eggs", "butter", "stock", "coconut milk",
]  # fmt: skip
STEP = "Stir the yeast into the warm milk and pour it in."


def named(what: str, step: str = "") -> list[str]:
    return [NAMES[place] for place in guess_lines(what, step, NAMES)]


@pytest.mark.parametrize(
    ("what", "lines"),
    [
        ("Pour the stock into the pot", ["stock"]),
        ("Sift the flour into a wide bowl", ["strong wheat flour"]),
        ("Drop one yolk into each boat", ["eggs"]),
        ("Crack the eggs", ["eggs"]),
        ("Mix both cheeses with one egg", ["young cheese", "brined cheese", "eggs"]),
        ("Stir the yeast into the warm milk", ["dried yeast"]),
        ("Pour in the coconut milk", ["coconut milk"]),
        ("Pour over the STOCK", ["stock"]),
    ],
)
def test_the_words_of_a_moment_name_the_lines_it_uses(what, lines):
    assert named(what) == lines


def test_words_that_name_two_things_alike_name_both():
    assert named("Pour the milk") == ["warm milk", "coconut milk"]


def test_a_moment_that_says_it_is_looked_up_in_its_step():
    assert named("pour it in", STEP) == ["warm milk"]


def test_where_nothing_is_named_there_is_no_guess():
    assert named("tear off an end") == []
    assert named("Serve at once", "Put the butter beside the yolk and serve at once.") == []
    assert named("Fill with the warm, young filling") == []
    assert named("Brown the thighs on each side", "Heat the butter and brown the thighs on each side.") == []
    assert named("", "") == []
    assert guess_lines("Pour the stock", "", []) == ()


def test_the_white_of_a_sauce_is_no_egg():
    assert named("Whisk the white sauce") == []
    assert named("Whisk the egg whites") == ["eggs"]
