"""Prices by another card or in another money. Rounding: shared.money (half away from zero); facts/trade.md §1 has 500 ÷ 239.640 → 2.09."""

from decimal import Decimal as D

from hypothesis import given
from hypothesis import strategies as st

from billing.estimates.repricing import Price, by_new_card, own_price, price_in

money = st.decimals(0, 100_000, places=2)
rates = st.decimals("0.0001", "500", places=6).filter(lambda rate: rate > 0)


def test_an_amount_is_rounded_once_half_up():
    assert price_in(D(780), D("0.9412")).shown == D("734.14")  # 734.136
    assert price_in(D("0.42"), D("11.35")) == Price(D("4.77"), D("0.42"))  # 4.767
    assert price_in(D("0.4250"), D("11.35")).shown == D("4.8238")  # 4.82375, parts of a cent stay parts
    assert price_in(D(500), 1 / D("239.640")).shown == D("2.09")
    assert price_in(D(500), None) == Price(D(500))


@given(money, rates, rates)
def test_there_and_back_by_any_rates_is_the_own_amount_to_the_cent(own, one, other):
    there = price_in(own, one)
    again = price_in(own_price(there, one), other)
    assert own_price(again, other) == own


def test_a_price_typed_over_is_taken_back_at_the_rate():
    kept = price_in(D(780), D("0.9412"))
    assert own_price(Price(D("700.00"), kept.own), D("0.9412")) == D("743.73")  # 743.731…
    assert own_price(Price(D("700.00")), D("0.9412")) == D("743.73")


def test_the_cards_price_goes_with_the_card_and_a_typed_one_stays():
    old, new = {"day_rate": D(780), "km_rate": D("0.42")}, {"day_rate": D(820), "km_rate": D("0.45")}
    assert by_new_card("shooting_day", D("780.0000"), old, new) == 820
    assert by_new_card("shooting_day", D(700), old, new) == 700
    assert by_new_card("other", D(780), old, new) == 780


def test_a_price_that_could_be_either_of_two_rates_follows_where_both_go_the_same_way():
    old = {"assistant_rate": D(190), "operator_rate": D(190), "kit_rate": D(0), "studio_rate": D(0)}
    assert by_new_card("assistant", D(190), old, old | {"assistant_rate": D(200), "operator_rate": D(200)}) == 200
    assert by_new_card("assistant", D(190), old, old | {"operator_rate": D(280)}) == 190
    assert by_new_card("kit", D(0), old, old | {"kit_rate": D(50)}) == 0
