from datetime import date
from decimal import Decimal as D

import pytest

from billing.costs.queries import cost_year_of, cost_years, living_of, living_rate, start_of_year
from tests.factories.costs import COSTS, cost_year

pytestmark = pytest.mark.django_db


def test_the_rate_to_live_on_is_that_of_the_day_s_year_or_the_newest_before(django_assert_num_queries):
    assert living_rate(date(2026, 5, 1)) is None
    cost_year(2026)
    cost_year(2028, income=D(68000))
    assert living_rate(date(2025, 12, 31)) is None
    with django_assert_num_queries(2):
        rate = living_rate(date(2026, 1, 1))
    assert (rate.year, rate.currency, rate.day, rate.half_day, rate.hour) == (2026, "EUR", D("830.00"), D("498.00"), D("103.75"))  # fmt: skip
    assert living_rate(date(2027, 12, 31)).year == 2026
    assert living_rate(date(2028, 1, 1)).day > D(930)


def test_a_new_year_begins_as_the_year_before_with_its_own_weekends():
    empty, costs, copied = start_of_year(2026)
    assert (empty.weekends, costs, copied) == (104, [], None)
    cost_year(2026, leave=D(25))
    row, costs, copied = start_of_year(2028)
    assert (row.pk, row.leave, row.days_typed, row.weekends, copied) == (None, 25, None, 106, 2026)
    assert tuple(costs) == COSTS


def test_years_come_newest_first():
    cost_year(2025)
    cost_year(2026)
    assert [row.year for row in cost_years()] == [2026, 2025]
    assert living_of(cost_year_of(2026)).costs == 25000
    assert cost_year_of(2024) is None
