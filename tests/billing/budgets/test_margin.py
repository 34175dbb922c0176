"""The margin by hand. How hours count as days and what is laid out: common practice, no source."""

from decimal import Decimal as D
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from billing.budgets.margin import margin_of
from billing.estimates.pricing import LineKind, OfferedLine


def line(kind, quantity, price, unit="", **also):
    return OfferedLine("", kind, D(quantity), D(price), **also), unit


JOB = [
    line(LineKind.PREPARATION, 4, 65, "hour"),
    line(LineKind.SHOOTING_DAY, 1, 780, "day"),
    line(LineKind.FINISHING, 6, 60, "hour"),
    line(LineKind.ASSISTANT, 1, 220, "day", markup_percent=D(15), is_at_cost=True),
    line(LineKind.FOOD_AND_PROPS, 1, 90, is_disbursement=True),
    line(LineKind.USAGE, 1, 540),
]


def test_a_job_by_hand():
    # 260 + 780 + 360 + 253 + 90 + 540 = 2,283; laid out 220 + 90 = 310; days 4/8 + 1 + 6/8 = 2.25 at 600 = 1,350
    margin = margin_of(JOB, net=D(2283), day_to_live_on=D(600), hours_in_day=D(8))
    assert (margin.outlay, margin.days, margin.living) == (D("310.00"), Fraction(9, 4), D("1350.00"))
    assert (margin.left, margin.break_even) == (D("623.00"), D("1660.00"))
    assert margin.per_day == D("876.89")  # 1,973 / 2.25 = 876.888…
    assert margin.days_shown == D("2.25")
    assert not margin.is_short


def test_a_job_that_does_not_pay_is_short_and_a_half_day_is_half_a_day():
    margin = margin_of(
        [line(LineKind.HALF_DAY, 1, 250, "half_day")], net=D(250), day_to_live_on=D(600), hours_in_day=D(8)
    )
    assert (margin.left, margin.is_short) == (D("-50.00"), True)


def test_a_licence_alone_takes_no_day():
    margin = margin_of([line(LineKind.USAGE, 1, 540)], net=D(540), day_to_live_on=D(600), hours_in_day=D(8))
    assert (margin.left, margin.per_day, margin.break_even) == (D(540), None, D("0.00"))


def test_no_working_day_of_no_hours():
    with pytest.raises(ValueError, match="more than 0 hours"):
        margin_of(JOB, net=D(1), day_to_live_on=D(600), hours_in_day=D(0))


@given(st.decimals(0, 5000, places=2), st.decimals(0, 2000, places=2), st.integers(1, 24))
def test_at_break_even_nothing_is_left_and_nothing_is_missing(net, living, hours):
    margin = margin_of(JOB, net=net, day_to_live_on=living, hours_in_day=D(hours))
    assert margin_of(JOB, net=margin.break_even, day_to_live_on=living, hours_in_day=D(hours)).left == 0
    assert margin.left == net - margin.break_even
