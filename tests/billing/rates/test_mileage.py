from datetime import date
from decimal import Decimal as D

import pytest
from hypothesis import given
from hypothesis import strategies as st

from billing.rates.mileage import (
    BRITISH_TAX_YEAR,
    InvalidMileage,
    Leg,
    MileageRow,
    NoMileageRate,
    allowance,
    allowances,
    rate_on,
    tax_year_start,
)

BANDED = MileageRow(date(2026, 4, 6), D("0.55"), D(10000), D("0.25"))
PLAIN = MileageRow(date(2026, 1, 1), D("0.30"))


def test_the_rate_follows_the_day_of_the_journey() -> None:
    assert rate_on([BANDED, PLAIN], date(2026, 4, 5)) == PLAIN
    assert rate_on([BANDED, PLAIN], date(2026, 4, 6)) == BANDED
    with pytest.raises(NoMileageRate, match="2025-12-31"):
        rate_on([BANDED, PLAIN], date(2025, 12, 31))


def test_the_tax_year_begins_where_the_country_says() -> None:
    assert tax_year_start(date(2026, 4, 5), BRITISH_TAX_YEAR) == date(2025, 4, 6)
    assert tax_year_start(date(2026, 4, 6), BRITISH_TAX_YEAR) == date(2026, 4, 6)
    assert tax_year_start(date(2026, 4, 5)) == date(2026, 1, 1)


def test_the_band_is_filled_in_the_order_of_days_and_starts_anew_each_year() -> None:
    legs = [Leg(date(2026, 9, 1), D(9000)), Leg(date(2026, 5, 1), D(4000)), Leg(date(2027, 4, 6), D(100))]
    assert allowances(legs, [BANDED], BRITISH_TAX_YEAR) == (D("4050.00"), D("2200.00"), D("55.00"))


@pytest.mark.parametrize(
    "make",
    [
        lambda: MileageRow(date(2026, 1, 1), D(-1)),
        lambda: MileageRow(date(2026, 1, 1), D(1), threshold=D(5)),
        lambda: MileageRow(date(2026, 1, 1), D(1), threshold=D(5), rate_above=D(-1)),
        lambda: allowance(PLAIN, D(-1)),
    ],
)
def test_what_cannot_be_is_refused(make: object) -> None:
    with pytest.raises(InvalidMileage):
        make()  # type: ignore[operator]


@given(st.integers(0, 12000), st.integers(0, 12000), st.integers(0, 12000))
def test_two_journeys_count_as_much_as_one_of_their_length(before: int, first: int, second: int) -> None:
    together = allowance(BANDED, D(first + second), D(before))
    assert allowance(BANDED, D(first), D(before)) + allowance(BANDED, D(second), D(before + first)) == together
