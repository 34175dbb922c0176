from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shoots.plan.ingredients import Ingredient, read_ingredient, starts_with_quantity


@pytest.mark.parametrize(
    ("line", "quantity", "quantity_to", "unit", "name", "preparation", "note"),
    [
        (
            "- 400 g strong flour, plus some for the board",
            "400",
            None,
            "g",
            "strong flour",
            "plus some for the board",
            "",
        ),
        ("1 1/2 cups milk, warm (full fat)", "1.5", None, "cup", "milk", "warm", "full fat"),
        ("½ tsp salt", "0.5", None, "tsp", "salt", "", ""),
        ("1,5 l stock", "1.5", None, "l", "stock", "", ""),
        ("2 to 3 tbsp wine vinegar", "2", "3", "tbsp", "wine vinegar", "", ""),
        ("about 200ml water", "200", None, "ml", "water", "", ""),
        ("half a dozen walnuts, cracked", "6", None, "", "walnuts", "cracked", ""),
        ("a dozen eggs", "12", None, "", "eggs", "", ""),
        ("two leeks", "2", None, "", "leeks", "", ""),
        ("butter: 150 g", "150", None, "g", "butter", "", ""),
        ("2 cloves of garlic, crushed", "2", None, "clove", "garlic", "crushed", ""),
        ("200 g/7 oz butter", "200", None, "g", "butter", "", "7 oz"),
        ("Salt", None, None, "", "Salt", "", ""),
        ("Salt to taste", None, None, "", "Salt", "to taste", ""),
        ("oil for frying", None, None, "", "oil", "for frying", ""),
        ("Pinch of salt", "1", None, "pinch", "salt", "", ""),
        ("Juice of 1/2 lemon", "0.5", None, "", "lemon", "juice", ""),
        ("Zest and juice of 2 oranges, strained", "2", None, "", "oranges", "zest and juice, strained", ""),
        ("Flour 200 g", "200", None, "g", "Flour", "", ""),
        ("Garlic (4-8 large cloves)", "4", "8", "clove", "Garlic", "", ""),
        ("diced beef (300g)", "300", None, "g", "diced beef", "", ""),
        ("1kg/2lb 4oz leeks", "1", None, "kg", "leeks", "", "2lb 4oz"),
        ("3 eggs (1 for the glaze)", "3", None, "", "eggs", "", "1 for the glaze"),
        ("a few saffron threads", None, None, "", "a few saffron threads", "", ""),
    ],
)
def test_an_ingredient_line_is_taken_apart(line, quantity, quantity_to, unit, name, preparation, note):
    read = read_ingredient(line)
    decimal = lambda text: None if text is None else Decimal(text)  # noqa: E731
    expected = Ingredient(line, name, decimal(quantity), decimal(quantity_to), unit, preparation, note)
    assert read == expected


@pytest.mark.parametrize(
    ("line", "unit", "said"),
    [("1 c sugar", "c", "may mean cup"), ("2 T oil", "T", "tablespoon"), ("2 t salt", "t", "teaspoon")],
)
def test_a_unit_of_one_letter_is_kept_and_asked_about(line, unit, said):
    read = read_ingredient(line)
    assert read.unit == unit
    assert said in read.doubt


def test_a_quantity_that_runs_backwards_is_turned_round_and_said():
    read = read_ingredient("10-5 g salt")
    assert (read.quantity, read.quantity_to) == (Decimal(5), Decimal(10))
    assert "backwards" in read.doubt


@pytest.mark.parametrize(
    ("line", "quantity", "said"),
    [
        ("1,000 g flour", 1000, "read as a thousand"),
        ("1.000 g flour", 1, "read as a decimal"),
        ("0 eggs", None, "is nothing"),
        ("1 tbsp plus 1 tsp sugar", 1, "comes on top"),
        ("2 x 400 g tins beans", 2, "size of one piece"),
        ("Flour 00", None, "not where a quantity stands"),
    ],
)
def test_a_quantity_that_can_be_misread_is_asked_about(line, quantity, said):
    read = read_ingredient(line)
    assert read.quantity == quantity
    assert said in read.doubt


def test_nothing_is_divided_by_zero():
    assert read_ingredient("1/0 egg").quantity is None
    assert read_ingredient("1/0 egg").doubt


def test_a_line_that_begins_with_a_quantity_is_known():
    assert starts_with_quantity("- 2 leeks")
    assert not starts_with_quantity("Wash the leeks")


@given(st.text(max_size=120))
def test_any_line_keeps_its_words(line):
    read = read_ingredient(line)
    assert read.text == line.strip()
    assert read.quantity_to is None or read.quantity <= read.quantity_to
