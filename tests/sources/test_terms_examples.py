"""Terms clients ask about: worked examples of the project's own definitions (common practice, no source), recomputed by script."""

from datetime import date
from decimal import Decimal as D

import pytest

from billing.estimates.terms import (
    CancellationTerms,
    PriceKind,
    cancellation_fee,
    corrections_until,
    lapses_on,
    last_day_of_unpaid_use,
    within_promise,
)


def test_a_licence_due_15_december_lapses_after_14_days() -> None:
    assert last_day_of_unpaid_use(date(2026, 12, 15), 14) == date(2026, 12, 29)
    assert lapses_on(date(2026, 12, 15), 14) == date(2026, 12, 30)


def test_corrections_to_a_delivery_of_1_december() -> None:
    assert corrections_until(date(2026, 12, 1)) == date(2026, 12, 11)


@pytest.mark.parametrize(("day", "percent"), [(11, 0), (14, 50), (18, 100)])
def test_cancelling_the_shoot_of_friday_18_december_2026(day: int, percent: int) -> None:
    terms = CancellationTerms(5, D(50), D(100))
    assert (
        cancellation_fee(terms, shoot_on=date(2026, 12, 18), notice_on=date(2026, 12, day), fee_net=D(100)).percent
        == percent
    )


def test_an_estimate_of_2000_with_ten_per_cent() -> None:
    assert within_promise(D("2000.00"), D("2200.00"), PriceKind.TOLERANCE, D(10))
    assert not within_promise(D("2000.00"), D("2200.01"), PriceKind.TOLERANCE, D(10))
