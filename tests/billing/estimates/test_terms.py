from datetime import date
from decimal import Decimal as D

import pytest
from hypothesis import given
from hypothesis import strategies as st

from billing.estimates import terms
from billing.estimates.terms import CancellationTerms, InvalidTerms, PriceKind

TERMS = CancellationTerms(free_days=5, percent=D(50), day_percent=D(100))
FRIDAY = date(2026, 12, 18)


def test_a_fixed_price_never_rises_without_a_yes() -> None:
    assert terms.highest_without_a_yes(D("2000.00"), PriceKind.FIXED, D(10)) == D("2000.00")


def test_an_estimate_may_rise_by_its_tolerance() -> None:
    assert terms.highest_without_a_yes(D("2000.00"), PriceKind.TOLERANCE, D(10)) == D("2200.00")
    assert terms.highest_without_a_yes(D("33.33"), PriceKind.TOLERANCE, D(5)) == D("35.00")


@pytest.mark.parametrize(
    ("notice", "percent", "fee"),
    [
        (date(2026, 12, 11), 0, "0.00"),
        (date(2026, 12, 12), 50, "390.00"),
        (date(2026, 12, 14), 50, "390.00"),
        (FRIDAY, 100, "780.00"),
        (date(2026, 12, 19), 100, "780.00"),
    ],
)
def test_cancelling_costs_by_notice_and_costs_spent_are_always_due(notice: date, percent: int, fee: str) -> None:
    found = terms.cancellation_fee(TERMS, shoot_on=FRIDAY, notice_on=notice, fee_net=D(780), costs_net=D("64.80"))
    assert (found.percent, found.fee, found.total) == (percent, D(fee), D(fee) + D("64.80"))


def test_a_weekend_before_a_monday_is_no_working_day_but_not_the_day_itself() -> None:
    found = terms.cancellation_fee(TERMS, shoot_on=date(2026, 12, 14), notice_on=date(2026, 12, 13), fee_net=D(780))
    assert (found.working_days, found.percent) == (0, 50)


def test_a_holiday_shortens_the_notice() -> None:
    found = terms.cancellation_fee(
        TERMS, shoot_on=FRIDAY, notice_on=date(2026, 12, 11), fee_net=D(780), holidays={date(2026, 12, 15)}
    )
    assert (found.working_days, found.percent) == (4, 50)


def test_postponing_for_weather_is_free_once() -> None:
    first = terms.postponement_fee(
        TERMS, shoot_on=FRIDAY, notice_on=FRIDAY, fee_net=D(780), costs_net=D(20), is_for_weather=True
    )
    second = terms.postponement_fee(
        TERMS, shoot_on=FRIDAY, notice_on=FRIDAY, fee_net=D(780), is_for_weather=True, weather_used=1
    )
    other = terms.postponement_fee(TERMS, shoot_on=FRIDAY, notice_on=date(2026, 12, 14), fee_net=D(780))
    assert (first.fee, first.total, first.is_free_for_weather) == (0, D(20), True)
    assert (second.fee, other.fee) == (D("780.00"), D("390.00"))


@given(st.dates(date(2026, 1, 1), date(2026, 12, 31)), st.integers(0, 40), st.integers(0, 10))
def test_more_notice_never_costs_more(shoot_on: date, before: int, earlier: int) -> None:
    late, early = (date.fromordinal(shoot_on.toordinal() - each) for each in (before, before + earlier))
    late_fee, early_fee = (
        terms.cancellation_fee(TERMS, shoot_on=shoot_on, notice_on=each, fee_net=D(780)).fee for each in (late, early)
    )
    assert early_fee <= late_fee


@pytest.mark.parametrize("wrong", [(-1, 50, 100), (5, 60, 50), (5, 50, 101), (5, -1, 100)])
def test_terms_that_cannot_be_are_refused(wrong: tuple[int, int, int]) -> None:
    with pytest.raises(InvalidTerms):
        CancellationTerms(wrong[0], D(wrong[1]), D(wrong[2]))


def test_the_last_day_of_an_estimate_is_counted_from_its_issue() -> None:
    assert terms.valid_until(date(2026, 11, 2), 30) == date(2026, 12, 2)


def test_an_estimate_can_be_accepted_on_its_last_day() -> None:
    assert terms.can_be_accepted(date(2026, 11, 30), date(2026, 11, 30))
    assert not terms.can_be_accepted(date(2026, 11, 30), date(2026, 12, 1))
    assert terms.can_be_accepted(None, date(2030, 1, 1))
