from datetime import date
from decimal import Decimal as D
from fractions import Fraction as F

from hypothesis import given
from hypothesis import strategies as st

from billing.earnings.earned import (
    Billed,
    Earned,
    Worked,
    days_shown,
    earned_of,
    own_work,
    worked_by_lines,
    years_of,
)
from shared.money import round_exact

ON = date(2026, 11, 14)
DAY = Worked(F(1), F(1, 2), F(1, 2), "estimate")
SUMS = st.decimals(0, 99_999, places=2)


def bill(net: str, *lines: tuple[str, bool], currency: str = "EUR") -> Billed:
    return Billed(currency, D(net), tuple((D(each), is_cost) for each, is_cost in lines))


def test_costs_passed_on_are_out_and_a_discount_is_shared():
    """Worked by hand: 900 own of 1,000, 10 % off the whole: 810."""
    assert own_work([bill("900", ("900", False), ("100", True))]) == {"EUR": D(810)}
    assert own_work([bill("0")]) == {"EUR": D(0)}


def test_currencies_stay_apart():
    bills = [bill("780", ("780", False)), bill("500", ("500", False), currency="CHF")]
    assert own_work(bills) == {"EUR": 780, "CHF": 500}
    rows = earned_of(7, "Winter menu", ON, bills, DAY)
    assert [(row.currency, row.per_day) for row in rows] == [("CHF", None), ("EUR", None)]
    assert years_of(rows) == []


def test_days_of_the_agreed_lines():
    """Four hours of eight are half a day, 3.75 hours finishing 15/32."""
    lines = [
        ("shooting_day", D(2), "day"), ("half_day", D(1), "half_day"), ("overtime", D(2), "hour"), ("preparation", D(4), "hour"),
        ("finishing", D("3.75"), "hour"), ("usage", D(6), "picture"), ("assistant", D(2), "day"), ("finishing", D(9), "picture"),
        ("shooting_day", D(1), ""), ("half_day", D(1), ""),
    ]  # fmt: skip
    worked = worked_by_lines(lines, D(8))
    assert (worked.on_set, worked.preparation, worked.finishing) == (F(17, 4), F(1, 2), F(15, 32))
    assert days_shown(worked.days) == D("5.22")


def test_a_shoot_and_its_year():
    """1,660 over two days is 830: exactly what npac.ca's year (25,000 + 58,000 over 100 days) asks for."""
    row = earned_of(7, "Winter menu", ON, [bill("1660", ("1660", False))], DAY)[0]
    assert row.per_day == D("830.00")
    assert row.below(D("830.00"), "EUR") is None
    assert row.below(D("830.01"), "EUR") == D("0.01")
    assert row.below(D(900), "CHF") is None
    other = earned_of(8, "Tea", ON, [bill("100", ("100", False))], Worked(F(1), F(0), F(0), "typed"))[0]
    year = years_of([row, other])[0]
    assert (year.shoots, year.own, year.days, year.per_day) == (2, 1760, 3, D("586.67"))


def test_no_day_is_no_figure():
    rows = earned_of(7, "Winter menu", ON, [bill("10", ("10", False))], Worked(F(0), F(0), F(0), "estimate"))
    assert [(row.own, row.per_day) for row in rows] == [(10, None)]


@given(st.lists(st.tuples(SUMS, st.booleans()), min_size=1, max_size=5))
def test_without_a_discount_own_work_and_costs_are_the_net(lines):
    net = sum(each for each, _cost in lines)
    own = own_work([Billed("EUR", net, tuple(lines))])["EUR"]
    assert own + sum(each for each, is_cost in lines if is_cost) == net


@given(st.lists(st.tuples(SUMS, st.fractions(F(1, 8), 10)), min_size=1, max_size=5))
def test_the_year_lies_between_its_worst_and_its_best_shoot(rows):
    shoots = [Earned(n, "x", ON, "EUR", own, Worked(days, F(0), F(0), "typed"), round_exact(F(own) / days)) for n, (own, days) in enumerate(rows)]  # fmt: skip
    year = years_of(shoots)[0]
    each = [shoot.per_day for shoot in shoots]
    assert min(each) - D("0.01") <= year.per_day <= max(each) + D("0.01")
