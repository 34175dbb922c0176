from decimal import Decimal as D

import pytest

from billing.costs.cost_of_business import (
    InvalidYear,
    YearOfWork,
    break_even_day,
    days_to_break_even,
)


def test_a_day_carries_its_share_of_the_year() -> None:
    year = YearOfWork(D(25000), D(58000), D(100))
    assert break_even_day(year) == D("830.00")
    assert days_to_break_even(year, D(780)) == D("106.41")


@pytest.mark.parametrize("wrong", [(1, 1, 0), (1, 1, 367), (-1, 1, 100), (1, -1, 100)])
def test_a_year_that_cannot_be_is_refused(wrong: tuple[int, int, int]) -> None:
    with pytest.raises(InvalidYear):
        YearOfWork(*[D(each) for each in wrong])


def test_a_day_rate_of_nothing_is_refused() -> None:
    with pytest.raises(InvalidYear, match="Enter a day rate above 0"):
        days_to_break_even(YearOfWork(D(1), D(1), D(100)), D(0))
