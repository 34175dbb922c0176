"""Rounding of money: half up, away from zero, to the minor unit. Worked examples recomputed by script.

Rule: half up is common practice, no source; rounding to two decimals follows EN 16931-1:2017, semantic data type "Amount" (from memory).
CPython's `decimal` documentation, "Rounding modes", ROUND_HALF_UP: "round to nearest with ties going away from zero" (from memory).
"""

from decimal import Decimal

import pytest

from shared.money import round_money


@pytest.mark.parametrize(
    ("exact", "rounded"),
    [
        (Decimal("2.665"), "2.67"),
        (Decimal("2.675"), "2.68"),
        (Decimal(500) / Decimal("239.640"), "2.09"),
        (Decimal("305.4") * Decimal("0.575"), "175.61"),
        (Decimal("1.50") * Decimal("0.07"), "0.11"),
        (Decimal("-1.50") * Decimal("0.07"), "-0.11"),
    ],
)
def test_half_a_cent_goes_up(exact: Decimal, rounded: str) -> None:
    assert str(round_money(exact)) == rounded
