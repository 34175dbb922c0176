"""Bars of a term chart sit by the day and never on top of each other."""

from datetime import date, timedelta
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared.words.chart import Bar, Lane, TermChart, month_after, placed_bars, quarter_marks, track_height

YEAR = TermChart("Uses", date(2026, 7, 14), date(2026, 11, 12), (), months=24)


def test_a_chart_begins_with_its_month_and_runs_its_months():
    assert (YEAR.begins_on, YEAR.ends_before) == (date(2026, 7, 1), date(2028, 7, 1))
    assert month_after(date(2026, 12, 1), 1) == date(2027, 1, 1)


def test_a_bar_covers_its_last_day():
    (bar,) = placed_bars(
        YEAR, Lane("Website", "", (Bar("granted", date(2026, 7, 1), date(2027, 7, 1), "until 1 Jul 2027"),))
    )
    assert (bar.left, bar.width) == ("0.00", f"{366 / 731 * 100:.2f}")


def test_a_bar_without_end_runs_to_the_edge_and_one_outside_is_left_out():
    lane = Lane(
        "Website",
        "",
        (Bar("free", date(2027, 7, 1), None, "free"), Bar("past", date(2020, 1, 1), date(2026, 6, 30), "ended")),
    )
    (bar,) = placed_bars(YEAR, lane)
    assert float(bar.left) + float(bar.width) == pytest.approx(100, abs=0.02)


def test_overlapping_bars_go_one_below_the_other_and_the_lane_grows():
    lane = Lane(
        "Adverts",
        "",
        (
            Bar("sole", date(2026, 8, 1), date(2027, 2, 28), "held"),
            Bar("clash", date(2027, 1, 1), date(2027, 6, 30), "asked"),
            Bar("free", date(2027, 3, 1), None, "free"),
        ),
    )
    placed = placed_bars(YEAR, lane)
    assert [each.top for each in placed] == [6, 56, 6]
    assert track_height(placed) == 106
    assert track_height([]) == 56


@given(st.lists(st.tuples(st.integers(0, 900), st.integers(0, 400)), max_size=12))
def test_no_two_bars_of_one_row_touch(stretches):
    bars = tuple(
        Bar("granted", YEAR.begins_on + timedelta(days=first), YEAR.begins_on + timedelta(days=first + length), "x")
        for first, length in stretches
    )
    rows = {}
    for each in placed_bars(YEAR, Lane("x", "", bars)):
        rows.setdefault(each.top, []).append(each.bar)
    for row in rows.values():
        row.sort(key=lambda bar: bar.from_on)
        assert all(one.last_on < other.from_on for one, other in pairwise(row))


def test_a_bar_of_an_unknown_kind_is_refused_at_birth():
    with pytest.raises(ValueError, match="one of granted"):
        Bar("sold", date(2026, 1, 1), None, "")


def test_the_head_names_each_quarter_and_each_year():
    marks = quarter_marks(YEAR)
    assert [first.month for first, _left, _is_year in marks] == [7, 10, 1, 4] * 2
    assert [first.year for first, _left, is_year in marks if is_year] == [2026, 2027, 2028]


def test_two_names_never_stand_on_each_other_in_the_head():
    march = TermChart("Uses", date(2026, 3, 14), date(2026, 11, 12), (), months=24)
    assert [first.month for first, _left, _is_year in quarter_marks(march)] == [3, 7, 10, 1, 4, 7, 10, 1]
