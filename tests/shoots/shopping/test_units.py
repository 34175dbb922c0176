from decimal import Decimal
from fractions import Fraction as F

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shoots.plan.ingredients import UNITS
from shoots.shopping.units import (
    KINDS,
    SOLD_WHOLE,
    add_up,
    convert,
    is_countable,
    is_sold_whole,
    kind_of,
    name_key,
    rounded,
    singular,
    unit_word,
)


def test_a_bunch_is_bought_whole_and_shared_out_in_parts():
    assert [is_sold_whole(unit) for unit in ("bunch", "bottle", "head", "", "g", "pinch")] == [True] * 4 + [False] * 2
    assert [is_countable(unit) for unit in ("bunch", "head", "stalk")] == [False, True, True]
    assert set(UNITS.values()) | {""} >= SOLD_WHOLE


def test_grams_are_added_to_kilograms_and_never_to_millilitres():
    assert add_up([(F(400), "g"), (F(1), "kg")]) == (F(7, 5), "kg")
    assert add_up([(F(400), "g"), (F(250), "g")]) == (F(650), "g")
    assert add_up([(F(200), "ml"), (F(3), "dl")]) == (F(5), "dl")
    with pytest.raises(ValueError, match="added"):
        add_up([(F(400), "g"), (F(400), "ml")])
    with pytest.raises(ValueError, match="nothing"):
        add_up([])


def test_a_sum_that_does_not_reach_the_larger_unit_stays_in_the_smaller():
    assert add_up([(F(100), "g"), (F(1, 10), "kg")]) == (F(200), "g")
    assert add_up([(F(1, 10), "kg"), (F(1, 10), "kg")]) == (F(1, 5), "kg")


def test_ounces_and_pounds_by_their_definition():
    """1 lb = 453.59237 g and 1 oz = 28.349523125 g exactly (NIST SP 811 App. B, from memory): sixteen to the pound."""
    assert Decimal("28.349523125") * 16 == Decimal("453.59237")
    assert convert(F(1), "lb", "oz") == 16
    assert add_up([(F(8), "oz"), (F(1), "lb")]) == (F(3, 2), "lb")


def test_spoons_of_us_labels():
    """A tablespoon is 15 ml and a teaspoon 5 ml (21 CFR 101.9(b)(5), from memory)."""
    assert convert(F(1), "tbsp", "tsp") == F(15, 5)
    assert add_up([(F(2), "tsp"), (F(1), "tbsp")]) == (F(5, 3), "tbsp")


@pytest.mark.parametrize("unit", ["cup", "fl oz", "pint", "clove", "", "t", "T"])
def test_other_units_are_added_to_their_own_kind_only(unit):
    assert kind_of(unit) == unit
    with pytest.raises(ValueError, match="told in"):
        convert(F(1), unit, "ml")


def test_every_unit_that_can_be_added_is_one_a_recipe_can_name():
    assert {unit for kind in KINDS for unit in kind} <= set(UNITS.values())


@given(
    st.sampled_from([(kind, a, b) for kind in KINDS for a in kind for b in kind]),
    st.fractions(0, 10_000, max_denominator=96),
)
def test_there_and_back_is_the_same_quantity(pair, quantity):
    _kind, a, b = pair
    assert convert(convert(quantity, a, b), b, a) == quantity
    total, unit = add_up([(quantity, a), (F(1), b)])
    assert convert(total, unit, a) == quantity + convert(F(1), b, a)


@pytest.mark.parametrize(
    ("quantity", "unit", "shown"),
    [
        (F(1600, 3), "ml", "533"), (F(800, 3), "ml", "267"), (F(1, 2), "g", "0.5"), (F(21, 2), "g", "11"), (F(5, 3), "tbsp", "1.67"),
        (F(12), "", "12"), (F(100), "g", "100"), (F(0), "g", "0"), (F(7, 5), "kg", "1.4"),
    ],
)  # fmt: skip
def test_one_rounding_half_up(quantity, unit, shown):
    assert str(rounded(quantity, unit)) == shown


def test_units_in_the_plural():
    assert unit_word("ml", F(5)) == "ml"
    assert [unit_word(unit, F(2)) for unit in ("clove", "bunch", "leaf", "pinch", "fl oz", "")] == [
        "cloves", "bunches", "leaves", "pinches", "fl oz", "",
    ]  # fmt: skip
    assert unit_word("clove", F(1, 2)) == "clove"
    assert [is_countable(unit) for unit in ("", "clove", "g")] == [True, True, False]


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("Red onion", "red  Onions"), ("tomato", "Tomatoes"), ("berry", "berries"), ("egg", "EGGS"), ("bay leaf", "bay leaves"),
        ("radish", "radishes"), ("couscous", "Couscous"), ("asparagus", "asparagus"), ("pea", "peas"), ("leaf", "leaves"),
    ],
)  # fmt: skip
def test_names_are_compared_whatever_their_capitals_and_plural(one, other):
    assert name_key(one) == name_key(other)


def test_what_only_looks_like_a_plural_stays():
    assert [singular(word) for word in ("cress", "octopus", "gas", "pies")] == ["cress", "octopus", "gas", "pie"]
    assert name_key("milk") != name_key("coconut milk")
