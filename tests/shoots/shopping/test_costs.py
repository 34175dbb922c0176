from decimal import Decimal as D
from fractions import Fraction as F

from hypothesis import given
from hypothesis import strategies as st

from shared.money import Money
from shoots.shopping.costs import costs_of
from shoots.shopping.lists import Line, Use, join, scale_dish
from shoots.shopping.quantities import Portions, Wanted


def listed(portions: Portions):
    lines = [Line("400 ml stock", "stock", F(400), "ml"), Line("5 eggs", "eggs", F(5)), Line("salt", "salt")]
    uses = [Use(1, "Pour", "pour", Wanted("keep", 3), (0,)), Use(2, "Crack", "crack", Wanted("many", 3), (1,))]
    return join([scale_dish(1, "Broth", portions=portions, serves=4, lines=lines, uses=uses)])


def test_spares_and_stand_ins_cost_apart_from_what_is_eaten():
    """800 ml for 8 portions at 8.00: four eaten, two heroes, one stand-in, one spare; two thirds of it held back. 12 eggs at 6.00: 5 are eaten."""
    stock, eggs, salt = listed(Portions(eaten=4, heroes=2, stand_ins=1, spares=1))
    costs = costs_of([(stock, D("8.00")), (eggs, D("6.00")), (salt, D("1.00")), (None, D("2.50"))], "EUR")
    assert costs.eaten == Money(D("6.50"), "EUR")
    assert costs.heroes == Money(D("3.25"), "EUR")
    assert costs.stand_ins + costs.spares == Money(D("4.25"), "EUR")
    assert costs.uncounted == Money(D("3.50"), "EUR")
    assert costs.whole == Money(D("17.50"), "EUR")
    assert costs.held_back == Money(D("5.33"), "EUR")
    assert costs.for_pictures == Money(D("7.50"), "EUR")


def test_without_a_price_nothing_costs_anything():
    assert costs_of([], "CHF").whole == Money(D(0), "CHF")


def test_where_nothing_is_cooked_a_price_still_counts():
    costs = costs_of([(listed(Portions(0, 0, 0, 0))[0], D("3.00"))], "EUR")
    assert costs.uncounted == costs.whole == Money(D("3.00"), "EUR")


@given(st.integers(0, 30), st.integers(0, 5), st.integers(0, 5), st.integers(0, 30), st.decimals(0, 999, places=2))
def test_not_a_cent_is_lost(eaten, heroes, stand_ins, spares, price):
    stock, eggs, _salt = listed(Portions(eaten, heroes, stand_ins, spares))
    costs = costs_of([(stock, price), (eggs, price)], "EUR")
    assert costs.whole == Money(price * 2, "EUR")
    assert costs.held_back <= costs.whole
