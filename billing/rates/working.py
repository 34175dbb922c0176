"""The working of a fee as data: each line with its factors by name, value and reason, for a JSON column, a page or a file."""

from dataclasses import dataclass
from fractions import Fraction
from math import floor
from typing import Any

from billing.rates.card import written
from billing.rates.fees import Cover, Fee


@dataclass(frozen=True, slots=True)
class WiderOffer:
    """What a line could grant beyond what was asked at the same fee: ``of`` is classes, media or territories, ``codes`` the wider cover."""

    items: tuple[int, ...]
    of: str
    codes: tuple[str, ...]


def fee_data(fee: Fee) -> dict[str, Any]:
    """``{"total", "fee", "lines": [{"items", "working": [[name, value, reason]], "sum"}]}``, nothing cut off.

    Values and sums are exact (a decimal, or numerator/denominator where it does not end); the total has four decimals, rounded half up
    for reading only: the fee was rounded up from the exact total.
    """
    return {
        "total": four_decimals(fee.total),
        "fee": str(fee.fee),
        "lines": [
            {
                "items": list(line.items),
                "working": [[step.name, written(step.value), step.reason] for step in line.working],
                "sum": written(line.total),
            }
            for line in fee.lines
        ],
    }


def wider_offers(fee: Fee) -> tuple[WiderOffer, ...]:
    """Where the cheapest cover is wider than what was asked: the licence grants what was asked, the wider use may be offered at the same fee."""
    return tuple(
        WiderOffer(line.items, name, cover.codes)
        for line in fee.lines
        for name, cover in _covers(line.classes, line.media, line.territories)
        if cover.is_wider
    )


def four_decimals(value: Fraction) -> str:
    """A sum with four decimals, half up: *6728.6700*. ``value`` is 0 or more."""
    tenths = floor(value * 10_000 + Fraction(1, 2))
    return f"{tenths // 10_000}.{tenths % 10_000:04d}"


def _covers(classes: Cover, media: Cover, territories: Cover) -> tuple[tuple[str, Cover], ...]:
    return ("classes", classes), ("media", media), ("territories", territories)
