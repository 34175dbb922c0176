"""Terms clients ask about: worked examples of the project's own definitions (common practice, no source), recomputed by script."""

from datetime import date
from decimal import Decimal as D

import pytest

from billing.estimates.terms import (
    CancellationTerms,
    PriceKind,
    cancellation_fee,
    highest_without_a_yes,
)
from shoots.licences.states import lapse_day


def test_a_licence_due_15_december_lapses_after_14_days() -> None:
    assert lapse_day(date(2026, 12, 15), 14) == date(2026, 12, 30)


@pytest.mark.parametrize(("day", "percent"), [(11, 0), (14, 50), (18, 100)])
def test_cancelling_the_shoot_of_friday_18_december_2026(day: int, percent: int) -> None:
    terms = CancellationTerms(5, D(50), D(100))
    assert (
        cancellation_fee(terms, shoot_on=date(2026, 12, 18), notice_on=date(2026, 12, day), fee_net=D(100)).percent
        == percent
    )


def test_an_estimate_of_2000_with_ten_per_cent() -> None:
    assert highest_without_a_yes(D("2000.00"), PriceKind.TOLERANCE, D(10)) == D("2200.00")
