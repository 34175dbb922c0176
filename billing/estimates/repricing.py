"""Prices of an estimate's lines by another card or in another currency.

A price that is the card's own moves with the card; one typed by the photographer stays. Common practice, no source: which rate a kind of
line goes by. An amount in foreign money is the own amount × the rate, rounded once; the own amount is kept, so nothing drifts.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

RATES_OF: dict[str, tuple[str, ...]] = {
    "shooting_day": ("day_rate",),
    "half_day": ("half_day_rate",),
    "preparation": ("preparation_rate", "preparation_day_rate"),
    "overtime": ("overtime_rate",),
    "assistant": ("assistant_rate", "operator_rate"),
    "stylist": ("stylist_rate",),
    "kit": ("kit_rate", "studio_rate", "kitchen_rate", "props_rate"),
    "finishing": ("finishing_rate",),
    "travel": ("km_rate", "travel_day_rate", "half_travel_day_rate"),
    "food_and_props": ("food_rate",),
}
CENTS, PARTS = Decimal("0.01"), Decimal("0.0001")


@dataclass(frozen=True, slots=True)
class Price:
    """What one unit of a line costs: in the estimate's money, and in the studio's own (None: they are the same money)."""

    shown: Decimal
    own: Decimal | None = None


def price_in(own: Decimal, rate: Decimal | None) -> Price:
    """An own amount in the estimate's money; ``rate`` is how much of it one of the own money buys, None for the own money itself.

    An amount of whole cents gives whole cents; a price of parts of a cent (a kilometre) keeps four decimals.
    """
    if rate is None:
        return Price(own)
    step = CENTS if own == own.quantize(CENTS) else PARTS
    return Price((own * rate).quantize(step, ROUND_HALF_UP), own)


def own_price(price: Price, rate: Decimal | None) -> Decimal:
    """The own amount behind a price: what was kept while nobody typed over it, else the shown amount taken back at the rate."""
    if rate is None:
        return price.shown
    if price.own is not None and price_in(price.own, rate).shown == price.shown:
        return price.own
    return (price.shown / rate).quantize(CENTS, ROUND_HALF_UP)


def by_new_card(kind: str, own: Decimal, old: Mapping[str, Decimal], new: Mapping[str, Decimal]) -> Decimal:
    """The own price of a line by the new card: the new rate where the price is the old card's, else the price itself.

    Where two rates of a kind were the same and are no more, nobody can tell which it was: the price stays.
    """
    found = {new[name] for name in RATES_OF.get(kind, ()) if own and name in old and own == old[name]}
    return found.pop() if len(found) == 1 else own
