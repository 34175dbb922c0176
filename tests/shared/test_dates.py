from datetime import date, timedelta
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared import dates
from shared.dates import InvalidMonth, InvalidTerm, PaymentReading

days = st.dates(date(2000, 1, 1), date(2090, 12, 31))


@pytest.mark.parametrize(
    ("first", "months", "until"),
    [
        (date(2026, 3, 15), 12, date(2027, 3, 15)),
        (date(2027, 1, 31), 1, date(2027, 3, 1)),
        (date(2024, 2, 29), 12, date(2025, 3, 1)),
        (date(2024, 1, 31), 1, date(2024, 3, 1)),
        (date(2026, 12, 1), 1, date(2027, 1, 1)),
        (date(2026, 5, 5), 0, date(2026, 5, 5)),
    ],
)
def test_a_missing_day_becomes_the_first_of_the_following_month(first: date, months: int, until: date) -> None:
    assert dates.add_months(first, months) == until


def test_a_term_needs_months() -> None:
    with pytest.raises(InvalidTerm):
        dates.add_months(date(2026, 1, 1), -1)
    with pytest.raises(InvalidTerm):
        dates.last_day_of_term(date(2026, 1, 1), 0)
    with pytest.raises(InvalidTerm):
        dates.months_between(date(2026, 1, 2), date(2026, 1, 1))


def test_a_licence_for_ever_has_no_day_without_use() -> None:
    assert dates.no_use_from(date(2026, 1, 1), None) is None
    assert dates.no_use_from(date(2026, 1, 1), 6) == date(2026, 7, 1)


@given(days, st.integers(0, 240), st.integers(0, 240))
def test_more_months_never_end_earlier(first: date, fewer: int, more: int) -> None:
    assert dates.add_months(first, min(fewer, more)) <= dates.add_months(first, max(fewer, more))


@given(days, st.integers(0, 240))
def test_whole_months_are_counted_back_whole(first: date, months: int) -> None:
    assert dates.months_between(first, dates.add_months(first, months)) == months


@given(days, st.integers(0, 2000))
def test_each_further_day_makes_a_term_longer(first: date, length: int) -> None:
    until = first + timedelta(days=length)
    assert dates.months_between(first, until) < dates.months_between(first, until + timedelta(days=1))


def test_days_left_over_are_a_fraction_of_their_month() -> None:
    assert dates.months_between(date(2027, 3, 1), date(2027, 3, 11)) == Fraction(10, 31)
    assert dates.months_between(date(2027, 1, 31), date(2027, 3, 1)) == 1


def test_days_are_counted_with_both_ends_and_lateness_from_the_day_after() -> None:
    assert dates.day_count(date(2026, 11, 14), date(2026, 11, 14)) == 1
    assert dates.days_late(date(2026, 12, 14), date(2026, 12, 14)) == 0
    assert dates.days_late(date(2026, 12, 14), date(2026, 12, 22)) == 8
    assert dates.days_late(date(2026, 12, 14), date(2026, 12, 1)) == 0


def test_notice_is_counted_in_working_days() -> None:
    friday = date(2026, 12, 18)
    assert dates.working_days_before(friday, date(2026, 12, 11)) == 5
    assert dates.working_days_before(friday, date(2026, 12, 12)) == 4
    assert dates.working_days_before(friday, date(2026, 12, 14)) == 4
    assert dates.working_days_before(friday, friday) == 0
    assert dates.working_days_before(friday, date(2026, 12, 11), {date(2026, 12, 15)}) == 4


@given(days, st.integers(1, 30))
def test_the_last_day_of_notice_is_the_last_one(event: date, count: int) -> None:
    last = dates.working_day_before(event, count)
    assert dates.working_days_before(event, last) >= count
    assert dates.working_days_before(event, last + timedelta(days=1)) < count


def test_a_month_is_written_as_year_and_month() -> None:
    assert dates.parse_month("2026-10") == date(2026, 10, 1)
    assert dates.month_bounds(date(2026, 12, 14)) == (date(2026, 12, 1), date(2027, 1, 1))


@pytest.mark.parametrize("text", ["2026-13", "October", "2026-1", "26-10", "2026-00", "0000-01"])
def test_what_is_no_month_is_refused_with_an_example(text: str) -> None:
    with pytest.raises(InvalidMonth, match="for example 2026-10"):
        dates.parse_month(text)


@pytest.mark.parametrize(
    ("reading", "due"),
    [
        (PaymentReading.DAYS, date(2026, 3, 2)),
        (PaymentReading.DAYS_THEN_MONTH_END, date(2026, 3, 31)),
        (PaymentReading.MONTH_END_THEN_DAYS, date(2026, 3, 2)),
        (PaymentReading.END_OF_NEXT_MONTH, date(2026, 2, 28)),
    ],
)
def test_thirty_days_end_of_month_is_read_as_agreed(reading: PaymentReading, due: date) -> None:
    assert dates.payment_due(date(2026, 1, 31), 30, reading) == due
