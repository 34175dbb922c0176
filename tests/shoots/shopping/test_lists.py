from decimal import Decimal
from fractions import Fraction as F

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shoots.shopping.lists import LONGEST_KEY, Line, Use, join, parts_of, scale_dish
from shoots.shopping.quantities import InvalidQuantity, Portions, Wanted

STOCK, EGGS, SALT = Line("400 ml stock", "stock", F(400), "ml"), Line("5 eggs", "eggs", F(5)), Line("salt", "salt")
EIGHT = Portions(eaten=4, heroes=2, stand_ins=1, spares=1)
POUR = Use(1, "Pour the stock", "pour", Wanted("keep", 3), (0,))
CRACK = Use(2, "Crack the eggs", "crack", Wanted("many", 3), (1,))


def broth(
    name: str = "Broth",
    portions: Portions = EIGHT,
    serves: int | None = 4,
    lines=(STOCK, EGGS, SALT),
    uses=(POUR, CRACK),
):
    return scale_dish(1, name, portions=portions, serves=serves, lines=list(lines), uses=list(uses))


def test_the_worked_example_line_by_line():
    """[CP: common practice, no source]; the figures of test_quantities."""
    dish = broth()
    stock, eggs, salt = dish.lines
    assert dish.times == 2
    assert (stock.scaled, stock.held_back) == (800, F(1600, 3))
    assert (eggs.scaled, eggs.spare, eggs.total) == (10, 2, 12)
    assert salt.total is None
    (held,) = dish.hold_backs(POUR)
    assert held.shared is not None
    assert (round(held.shared.a_take), round(held.shared.held_back), held.name) == (267, 533, "stock")
    assert dish.hold_backs(CRACK) == ()


def test_a_moment_may_use_part_of_a_line():
    use = Use(1, "Drop a yolk", "add", Wanted("keep", 2), (1,), part=F(4))
    (held,) = broth(uses=[use]).hold_backs(use)
    assert held.shared is not None
    assert (held.shared.whole, held.shared.parts) == (8, (4, 4))


def test_a_line_without_a_quantity_is_held_back_in_words():
    use = Use(1, "Season", "season", Wanted("keep", 2), (2,))
    (held,) = broth(uses=[use]).hold_backs(use)
    assert (held.name, held.shared) == ("salt", None)


def test_without_servings_nothing_is_reckoned_and_nothing_dropped():
    dish = broth(serves=None)
    assert dish.times is None
    assert [line.scaled for line in dish.lines] == [None, None, None]
    assert dish.hold_backs(POUR)[0].shared is None
    with pytest.raises(InvalidQuantity):
        broth(serves=0)


def test_like_is_joined_to_like_and_the_joined_names_are_kept():
    flour = [
        Line("400 g flour", "Flour", F(400), "g"),
        Line("2 onions", "onions", F(2)),
        Line("1 cup milk", "milk", F(1), "cup"),
    ]
    other = [
        Line("1 kg flours", "flours", F(1), "kg"),
        Line("1 Onion", "Onion", F(1)),
        Line("200 ml milk", "milk", F(200), "ml"),
    ]
    one = Portions(eaten=1, heroes=0, stand_ins=0)
    joined = join([broth("A", one, 1, flour, ()), broth("B", one, 1, other, ())])
    assert [(line.name, line.figure, line.unit, line.names) for line in joined] == [
        ("Flour", Decimal("1.4"), "kg", ("Flour", "flours")),
        ("onions", Decimal(3), "", ("onions", "Onion")),
        ("milk", Decimal(1), "cup", ("milk",)),
        ("milk", Decimal(200), "ml", ("milk",)),
    ]
    assert [line.is_joined for line in joined] == [True, True, False, False]
    assert len({line.key for line in joined}) == 4


def test_what_is_needed_by_the_pinch_stands_last_and_is_not_added_to_what_is_measured():
    salted = Line("5 g salt", "Salt", F(5), "g")
    joined = join([broth(), broth("B", lines=[salted], uses=())])
    assert [(line.name, line.figure) for line in joined][-2:] == [("Salt", Decimal(10)), ("salt", None)]


def test_pieces_of_all_dishes_are_rounded_up_once():
    half = Portions(eaten=1, heroes=0, stand_ins=0)
    onion = [Line("1 onion", "onion", F(1))]
    (line,) = join([broth("A", half, 2, onion, ()), broth("B", half, 2, onion, ())])
    assert (line.exact, line.figure) == (1, Decimal(1))


def test_two_dishes_with_one_name_stay_two():
    (line, *_) = join([broth("Broth"), broth("Broth")])
    assert [source.dish.name for source in line.sources] == ["Broth", "Broth"]
    assert line.exact == 1600


def test_a_name_as_long_as_a_novel_has_a_key_that_fits():
    long = [Line("x", "x" * 900 + end, F(1), "g") for end in "ab"]
    keys = [line.key for line in join([broth(lines=long, uses=())])]
    assert len(set(keys)) == 2
    assert max(len(key) for key in keys) <= LONGEST_KEY


def test_a_line_used_by_two_moments_is_never_held_back_twice_over():
    twice = [POUR, Use(3, "Pour again", "pour", Wanted("keep", 9), (0,))]
    assert broth(uses=twice).lines[0].held_back == 800


def test_parts_of_a_line_add_up_to_what_is_needed():
    stock, eggs, salt = join([broth()])
    assert parts_of(stock) == (400, 200, 100, 100, F(1600, 3))
    assert parts_of(eggs) == (5, F(5, 2), F(5, 4), F(5, 4) + 2, 0)
    assert parts_of(salt) == (0, 0, 0, 0, 0)
    assert parts_of(join([broth(portions=Portions(0, 0, 0))])[0]) == (0, 0, 0, 0, 0)


@given(
    st.integers(0, 50),
    st.integers(0, 9),
    st.integers(0, 9),
    st.integers(0, 40),
    st.integers(1, 40),
    st.fractions(0, 5000, max_denominator=24),
)
def test_parts_add_up_whatever_is_cooked(eaten, heroes, stand_ins, spares, serves, quantity):
    dish = broth(
        portions=Portions(eaten, heroes, stand_ins, spares),
        serves=serves,
        lines=[Line("x", "x", quantity, "g")],
        uses=(),
    )
    (line,) = join([dish])
    assert sum(parts_of(line)[:4]) == line.exact
