from decimal import Decimal as D
from fractions import Fraction as F

import pytest

from billing.estimates.worked import days_of_line


@pytest.mark.parametrize(
    ("kind", "quantity", "unit", "days"),
    [
        ("preparation", "4", "hour", F(1, 2)),
        ("finishing", "6", "hour", F(3, 4)),
        ("shooting_day", "2", "day", F(2)),
        ("shooting_day", "2", "", F(2)),
        ("half_day", "1", "half_day", F(1, 2)),
        ("half_day", "3", "", F(3, 2)),
        ("usage", "1", "", F(0)),
        ("travel", "46", "kilometre", F(0)),
    ],
)
def test_a_line_stands_for_days_by_its_unit_and_its_kind(kind, quantity, unit, days):
    assert days_of_line(kind, D(quantity), unit, D(8)) == days
