from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shoots.uses.days import Length, earliest, is_after, is_before, last_day, latest_until, length_of, runs_meet

NEW_YEAR = date(2027, 1, 1)
days = st.integers(0, 12).map(lambda count: NEW_YEAR + timedelta(days=count))
ends = st.none() | days


def test_no_end_is_later_than_any_day():
    assert earliest(None, NEW_YEAR) == NEW_YEAR
    assert earliest(None, None) is None
    assert latest_until(None, NEW_YEAR) is None
    assert latest_until(date(2027, 2, 1), NEW_YEAR) == date(2027, 2, 1)
    assert is_before(date.max, None)
    assert is_after(None, date.max)
    assert not is_after(None, None)
    assert not is_after(NEW_YEAR, NEW_YEAR)


def test_the_last_day_is_the_day_before_the_end():
    assert last_day(date(2027, 3, 1)) == date(2027, 2, 28)


@given(days, ends, days, ends)
def test_runs_meet_when_they_share_a_day(first, until, other_first, other_until):
    horizon = [NEW_YEAR + timedelta(days=count) for count in range(20)]
    one = {day for day in horizon if day >= first and (until is None or day < until)}
    other = {day for day in horizon if day >= other_first and (other_until is None or day < other_until)}
    assert runs_meet(first, until, other_first, other_until) == bool(one & other)


@pytest.mark.parametrize(
    ("first", "until", "length"),
    [
        (date(2027, 3, 1), date(2029, 3, 1), Length(months=24)),
        (date(2027, 1, 31), date(2027, 3, 1), Length(months=1)),
        (date(2024, 2, 29), date(2025, 3, 1), Length(months=12)),
        (date(2027, 3, 1), date(2027, 3, 11), Length(days=10)),
        (date(2027, 3, 1), None, Length()),
    ],
)
def test_a_run_is_so_many_months_where_it_is_and_days_elsewhere(first, until, length):
    assert length_of(first, until) == length


@given(days, st.integers(1, 900))
def test_a_length_read_off_a_run_gives_the_run_back(first, count):
    until = first + timedelta(days=count)
    assert length_of(first, until).until(first) == until


def test_a_run_past_the_year_9999_is_for_ever():
    assert Length(months=2).until(date(9999, 12, 1)) is None
    assert Length(days=40).until(date(9999, 12, 1)) is None
