from calendar import monthrange
from datetime import date
from decimal import Decimal as D
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from billing.costs.cost_of_business import InvalidYear
from billing.costs.living import (
    Cost,
    CostKind,
    Days,
    days_in,
    days_left,
    days_needed,
    days_working,
    months_used,
    plain,
    reckon_year,
    rounded_up,
    share_of_year,
    shootable_days,
    weekend_days,
)

HUNDRED_DAYS = Days(D(104), typed=D(100))
SUMS = st.decimals(0, 999_999, places=2)
KIT = st.builds(
    Cost,
    st.just(CostKind.KIT),
    st.just("Camera"),
    SUMS,
    st.integers(1, 12),
    st.dates(date(2018, 1, 1), date(2030, 12, 31)),
)
COSTS = st.lists(st.builds(Cost, st.just(CostKind.RENT), st.just("Rent"), SUMS) | KIT, max_size=6)


def test_the_published_year_through_the_lines() -> None:
    """npac.ca, "Cost of Doing Business Calculator": (overhead + pay) ÷ billable days; figures our own."""
    year = reckon_year(2026, [Cost(CostKind.RENT, "Studio", D(25000))], HUNDRED_DAYS, income=D(58000))
    assert (year.total, year.day, year.half_day, year.hour) == (D(83000), D("830.00"), D("498.00"), D("103.75"))
    assert days_needed(year, D(780)) == D("106.41")


def test_kit_of_the_first_of_july_weighs_half_a_year() -> None:
    """Straight line: common practice, no source."""
    kit = Cost(CostKind.KIT, "Camera", D(6000), 4, date(2026, 7, 1))
    assert [share_of_year(kit, year) for year in range(2025, 2032)] == [0, 750, 1500, 1500, 1500, 750, 0]
    line = reckon_year(2026, [kit], HUNDRED_DAYS, income=D(0)).lines[0]
    assert line.working == "6,000.00 ÷ 48 months × 6 months in 2026"
    gone = reckon_year(2031, [kit], HUNDRED_DAYS, income=D(0)).lines[0]
    assert (gone.sum, gone.working) == (0, "Bought Jul 2026 for 6,000.00: not in use in 2031, or used up")


@given(KIT)
def test_kit_month_by_month(kit: Cost) -> None:
    """Brute force: walk the calendar a month at a time from the month of purchase, a month's share each."""
    assert kit.bought_on is not None
    walked: dict[int, Fraction] = {}
    day = kit.bought_on.replace(day=1)
    for _ in range(kit.years * 12):
        walked[day.year] = walked.get(day.year, Fraction(0)) + Fraction(kit.price) / (kit.years * 12)
        day = date(day.year + (day.month == 12), day.month % 12 + 1, 1)
    for year in range(2017, 2045):
        assert share_of_year(kit, year) == walked.get(year, 0)
    assert sum(share_of_year(kit, year) for year in range(2017, 2045)) == kit.price


def test_days_of_a_year_are_those_of_the_calendar() -> None:
    for year in range(1999, 2032):
        days = [date(year, month, day) for month in range(1, 13) for day in range(1, monthrange(year, month)[1] + 1)]
        assert days_in(year) == len(days)
        assert weekend_days(year) == sum(each.isoweekday() > 5 for each in days)
    days = Days(D(104), D(10), D(25), D(5), D(120))
    assert days_left(2026, days) == shootable_days(2026, days) == 101
    assert shootable_days(2028, days) == 102
    words = "365 days − 104 weekend days − 10 public holidays − 25 leave − 5 sick days − 120 work nobody pays"
    assert days_working(2026, days) == words
    assert days_working(2026, HUNDRED_DAYS) == "As you count them"


@pytest.mark.parametrize(
    ("days", "words"),
    [
        (Days(D(104), unpaid=D(261)), "No day is left"),
        (Days(D(104), typed=D(0)), "No day is left"),
        (Days(D(104), typed=D(366)), "2026 has 365 days"),
        (Days(D(104), sick=D(-1)), "Enter days of 0 or more"),
    ],
)
def test_days_that_cannot_be_are_refused(days: Days, words: str) -> None:
    with pytest.raises(InvalidYear, match=words):
        shootable_days(2026, days)


def test_costs_that_cannot_be_are_refused() -> None:
    with pytest.raises(InvalidYear, match="0 or more"):
        Cost(CostKind.RENT, "Studio", D(-1))
    with pytest.raises(InvalidYear, match="1 to 50 years"):
        Cost(CostKind.KIT, "Camera", D(1), 0, date(2026, 1, 1))
    with pytest.raises(InvalidYear, match="day it was bought"):
        Cost(CostKind.KIT, "Camera", D(1), 4)
    for wrong in ({"income": D(-1)}, {"income": D(1), "tax_percent": D(-1)}):
        with pytest.raises(InvalidYear, match="of 0 or more"):
            reckon_year(2026, [], HUNDRED_DAYS, **wrong)
    for wrong in ({"half_day_percent": D(101)}, {"hours_in_day": D(0)}, {"hours_in_day": D(25)}):
        with pytest.raises(InvalidYear, match="A half day"):
            reckon_year(2026, [], HUNDRED_DAYS, income=D(1), **wrong)


def test_tax_is_of_what_is_taken_home_and_profit_of_all() -> None:
    year = reckon_year(2026, [Cost(CostKind.CAR, "Car", D(4000))], HUNDRED_DAYS, income=D(30000), tax_percent=D(30), profit_percent=D("12.5"))  # fmt: skip
    assert [line.sum for line in year.lines] == [4000, 30000, 9000, D("5375.00")]
    assert [line.working for line in year.lines[2:]] == ["30 % of what is taken home", "12.5 % of all the lines above"]
    assert (year.costs, year.total, year.day) == (4000, D("48375.00"), D("483.75"))


@given(COSTS, SUMS, st.decimals(0, 99, places=2), st.decimals(0, 99, places=2), st.decimals(1, 364, places=1))
def test_lines_are_the_total_more_costs_never_lower_and_more_days_never_raise(costs, income, tax, profit, days) -> None:
    also = {"income": income, "tax_percent": tax, "profit_percent": profit}
    year = reckon_year(2026, costs, Days(D(104), typed=days), **also)
    assert sum(line.sum for line in year.lines) == year.total
    assert abs(Fraction(year.day) - Fraction(year.total) / Fraction(days)) <= Fraction(1, 200)
    dearer = reckon_year(2026, [*costs, Cost(CostKind.OTHER, "More", D("0.07"))], Days(D(104), typed=days), **also)
    longer = reckon_year(2026, costs, Days(D(104), typed=days + 1), **also)
    for name in ("day", "half_day", "hour"):
        assert getattr(dearer, name) >= getattr(year, name) >= getattr(longer, name)


@given(SUMS, st.sampled_from([D(1), D(5), D(10)]))
def test_a_rate_is_rounded_up_and_never_below(rate: D, step: D) -> None:
    up = rounded_up(rate, step)
    assert rate <= up < rate + step
    assert up % step == 0
    assert rounded_up(rate, D(0)) == rate


def test_months_and_numbers_in_words() -> None:
    assert months_used(Cost(CostKind.RENT, "Studio", D(1)), 2026) == 12
    assert [plain(D(each)) for each in ("30.00", "12.50", "0")] == ["30", "12.5", "0"]
