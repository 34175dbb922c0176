from datetime import UTC, date, datetime

import pytest

from studio.demo.year import begins_on, exact_day, moment, work_day

THURSDAY = date(2026, 11, 12)


def test_the_books_begin_on_a_first_of_january_before_the_year():
    assert begins_on(THURSDAY) == date(2025, 1, 1)


@pytest.mark.parametrize(
    ("offset", "day"),
    [
        (0, date(2026, 11, 12)),
        (2, date(2026, 11, 16)),
        (3, date(2026, 11, 16)),
        (1, date(2026, 11, 13)),
        (-4, date(2026, 11, 6)),
        (-5, date(2026, 11, 6)),
    ],
)
def test_work_falls_on_weekdays_never_nearer_than_asked(offset, day):
    assert work_day(THURSDAY, offset) == day


def test_the_winter_menu_stays_on_its_saturday():
    assert exact_day(THURSDAY, 2) == date(2026, 11, 14)


def test_a_wall_clock_is_of_the_studio():
    assert moment(date(2026, 7, 1), "09:30") == datetime(2026, 7, 1, 7, 30, tzinfo=UTC)
