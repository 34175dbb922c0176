"""The worked example [CP: common practice, no source], as written down for this house before any of it was built:

Recipe for 4, one once action in 2 takes, 4 eaters: 2 heroes + 1 stand-in + 1 spare + 4 = 8 portions = the recipe x 2. Pour
2 x 400 = 800 ml stock, 3 takes: 267 ml a take, hold back 533 ml. Crack 2 x 5 = 10 eggs, 3 takes with one egg each: buy 12.
"""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shoots.shopping.quantities import (
    MOST_PORTIONS,
    MOST_TAKES,
    InvalidQuantity,
    Portions,
    Wanted,
    pieces_to_buy,
    portions_to_cook,
    split,
    times_recipe,
)


def test_the_worked_example_of_portions():
    portions = portions_to_cook(eaten=4, heroes=2, stand_ins=1, wanted=[Wanted("once", 2)])
    assert portions == Portions(eaten=4, heroes=2, stand_ins=1, spares=1)
    assert portions.total == 8
    assert times_recipe(8, 4) == 2


def test_the_worked_example_of_the_pour():
    poured = split(Fraction(400) * 2, 3)
    assert round(poured.a_take) == 267
    assert round(poured.held_back) == 533
    assert poured.held_back == Fraction(2, 3) * 800


def test_the_worked_example_of_the_eggs():
    assert Wanted("many", 3).spare_pieces == 2
    assert pieces_to_buy(Fraction(5) * 2, 2) == 12


def test_what_is_free_asks_for_nothing():
    free = Wanted("free", 20)
    assert (free.spare_portions, free.spare_pieces, free.is_split) == (0, 0, False)


def test_what_cannot_be_split_is_cooked_as_many_times_as_it_is_wanted():
    assert Wanted("keep", 3, can_split=False).spare_portions == 2
    assert Wanted("keep", 3, can_split=False, batch=4).spare_portions == 8
    assert Wanted("keep", 3).spare_portions == 0


def test_once_in_one_take_is_a_single_chance():
    assert Wanted("once").is_single
    assert not Wanted("once", 2).is_single
    assert Wanted("once").spare_portions == 0


def test_one_chance_a_finished_piece_spends_portions():
    assert Wanted("many", 3, is_portion=True, per_take=2).spare_portions == 4
    assert Wanted("many", 3, is_portion=True).spare_pieces == 0


def test_pieces_stay_whole_when_they_are_shared_out():
    assert split(Fraction(10), 3, is_countable=True).parts == (4, 3, 3)
    assert split(Fraction(10), 3, is_countable=True).held_back == 6
    assert split(Fraction(2), 3, is_countable=True).a_take == Fraction(2, 3)


def test_pieces_are_rounded_up_once_and_not_dish_by_dish():
    assert pieces_to_buy(Fraction(35, 4), 2) == 11
    assert pieces_to_buy(Fraction(5, 4) + Fraction(7, 4), 0) == 3


@pytest.mark.parametrize("takes", [0, -1, 100, 10**9])
def test_takes_nobody_can_plan_are_refused_in_words(takes):
    with pytest.raises(InvalidQuantity, match=f"Enter 1 to {MOST_TAKES}"):
        Wanted("keep", takes)


def test_a_recipe_for_nobody_negative_portions_and_a_mountain_of_food_are_refused_in_words():
    with pytest.raises(InvalidQuantity, match="how many it serves"):
        times_recipe(8, 0)
    with pytest.raises(InvalidQuantity, match="0 or more"):
        portions_to_cook(eaten=-1, heroes=2, stand_ins=1)
    with pytest.raises(InvalidQuantity, match="fewer takes"):
        portions_to_cook(eaten=0, heroes=2, stand_ins=1, wanted=[Wanted("once", 99, batch=500)])
    with pytest.raises(InvalidQuantity):
        Wanted("once", 2, batch=0)
    assert portions_to_cook(eaten=MOST_PORTIONS, heroes=0, stand_ins=0).total == MOST_PORTIONS
    with pytest.raises(InvalidQuantity):
        split(Fraction(-1), 2)


@given(st.fractions(min_value=0, max_value=10_000, max_denominator=96), st.integers(1, MOST_TAKES), st.booleans())
def test_nothing_is_lost_or_made_when_a_quantity_is_split(quantity, takes, is_countable):
    shared = split(quantity, takes, is_countable=is_countable)
    assert sum(shared.parts) == quantity
    assert len(shared.parts) == takes
    assert shared.a_take + shared.held_back == quantity
    if not is_countable:
        assert shared.held_back == quantity * (takes - 1) / takes
    assert max(shared.parts) - min(shared.parts) <= 1
