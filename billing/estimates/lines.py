"""The lines of a first draft by a card's own rates, in an estimate's words: getting ready, days on set, helpers, kit, finishing, the way there.

Each line is given by its columns, with its working; prices are in the card's money. Which rate a helper goes by: common practice, no source.
"""

from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from typing import Any, Protocol

from billing.estimates.finishing import MINUTES
from billing.estimates.wording import (
    days_working,
    finishing_working,
    half_day_working,
    kit_working,
    line_name,
    passed_on_working,
    preparation_working,
    travel_working,
)
from billing.rates import wanted
from billing.rates.wanted import preparation_days

PREPARATION_HOURS = 4  # a day on set; common practice, no source
HELPERS = {
    "assistant": ("assistant", "assistant", "assistant_rate"),
    "digital_operator": ("operator", "assistant", "operator_rate"),
    "kitchen_hand": ("kitchen_hand", "assistant", "assistant_rate"),
    "food_stylist": ("stylist", "stylist", "stylist_rate"),
    "prop_stylist": ("props", "stylist", "stylist_rate"),
}
"""Parts in a shoot that are passed on: the name and the kind of their line, and what of a card is their rate."""


class Rates(wanted.Rates, Protocol):
    """What is asked of a rate card here; rates before tax, ``km_rate`` a kilometre, minutes and rates of helpers by their names."""

    currency: str
    preparation_rate: Decimal
    day_rate: Decimal
    half_day_rate: Decimal
    kit_rate: Decimal
    km_rate: Decimal
    finishing_rate: Decimal
    markup_percent: Decimal


def preparation_lines(days: int, card: Rates, language: str) -> list[dict[str, Any]]:
    """Getting ready for so many days on set: hours, or whole days and the hours left where the card has a rate for a day."""
    whole, hours = preparation_days(Decimal(PREPARATION_HOURS * days), card)
    lines = [
        ("preparation_day", Decimal(whole), "day", card.preparation_day_rate),
        ("preparation", hours, "hour", card.preparation_rate),
    ]
    return [
        {
            "kind": "preparation", "what": line_name(name, language), "working": preparation_working(language), "quantity": count,
            "unit": unit, "unit_price": price,
        }
        for name, count, unit, price in lines if count
    ]  # fmt: skip


def set_lines(
    on_set: Decimal, first: date | None, last: date | None, card: Rates, language: str
) -> list[dict[str, Any]]:
    """Whole days on set and the half one left; ``first`` and ``last`` where they are the days meant."""
    whole, half, lines = int(on_set), on_set % 1, []
    if whole:
        working = days_working(whole, first, last, card.day_rate, card.hours_in_day, card.currency, language)
        lines.append({
            "kind": "shooting_day", "what": line_name("shooting_day", language), "working": working, "quantity": Decimal(whole), "unit": "day",
            "unit_price": card.day_rate,
        })  # fmt: skip
    if half:
        working = half_day_working(card.half_day_rate, card.hours_in_day / 2, card.currency, language)
        lines.append({
            "kind": "half_day", "what": line_name("half_day", language), "working": working, "quantity": Decimal(1), "unit": "half_day",
            "unit_price": card.half_day_rate,
        })  # fmt: skip
    return lines


def helper_line(part: str, name: str, days: int, card: Rates, language: str) -> dict[str, Any]:
    """Somebody whose part is one of ``HELPERS``, passed on at cost with the card's mark-up."""
    called, kind, rate = HELPERS[part]
    return {
        "kind": kind, "what": line_name(called, language), "working": passed_on_working(name, days, language), "quantity": Decimal(days),
        "unit": "day", "unit_price": getattr(card, rate), "markup_percent": card.markup_percent, "is_at_cost": True,
    }  # fmt: skip


def kit_line(days: int, card: Rates, language: str) -> dict[str, Any]:
    """The studio's own kit."""
    return {
        "kind": "kit", "what": line_name("kit", language), "working": kit_working(days, card.kit_rate, card.currency, language),
        "quantity": Decimal(days), "unit": "day", "unit_price": card.kit_rate,
    }  # fmt: skip


def finishing_by_kind(counts: Mapping[str, int], card: Rates, language: str) -> list[dict[str, Any]]:
    """Finishing by the minutes a picture takes, a line a kind; ``counts``: how many pictures of each kind."""
    lines = []
    for kind, count in counts.items():
        minutes = getattr(card, MINUTES[kind])
        hours = (Decimal(count * minutes) / 60).quantize(Decimal("0.0001"))
        lines.append({
            "kind": "finishing", "what": line_name(f"finishing_{kind}", language), "finishing": kind,
            "working": finishing_working(count, minutes, hours, language), "quantity": hours, "unit": "hour", "unit_price": card.finishing_rate,
        })  # fmt: skip
    return lines


def travel_line(distance_km: Decimal, days: int, card: Rates, language: str) -> dict[str, Any]:
    """The way to the kitchen and back, each day; ``distance_km`` one way."""
    return {
        "kind": "travel", "what": line_name("travel", language), "working": travel_working(distance_km, days, language),
        "quantity": distance_km * 2 * days, "unit": "kilometre", "unit_price": card.km_rate, "is_at_cost": True,
    }  # fmt: skip
