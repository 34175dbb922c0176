"""The lines of hires, groceries, travel days and haste in an estimate's words."""

from collections.abc import Iterable, Mapping
from decimal import Decimal
from typing import Any

from billing.estimates.wording import counted_working, line_name, rush_working
from billing.rates.wanted import ShootFacts, WantedLine

KIND_OF = {
    "studio_rate": "kit",
    "kitchen_rate": "kit",
    "props_rate": "kit",
    "food_rate": "food_and_props",
    "travel_day_rate": "travel",
    "half_travel_day_rate": "travel",
}


NAME_OF = {"props_rate": "props_hire"}


def drafted_line(wanted: WantedLine, currency: str, language: str) -> dict[str, Any]:
    """A line of the draft, by its columns, with its working in words."""
    return {
        "kind": KIND_OF[wanted.rate],
        "what": line_name(NAME_OF.get(wanted.rate, wanted.rate.removesuffix("_rate")), language),
        "working": counted_working(wanted.quantity, wanted.unit, wanted.unit_price, currency, language),
        "quantity": wanted.quantity,
        "unit": wanted.unit,
        "unit_price": wanted.unit_price,
        "markup_percent": wanted.markup_percent,
        "is_at_cost": wanted.is_at_cost,
        "is_at_most": wanted.is_at_most,
    }


def rush_line(amount: Decimal, percent: Decimal, facts: ShootFacts, language: str) -> dict[str, Any]:
    """What haste adds, as one sum."""
    return {
        "kind": "other",
        "what": line_name("rush", language),
        "working": rush_working(percent, facts.days_ahead or 0, language),
        "quantity": Decimal(1),
        "unit": "",
        "unit_price": amount,
    }


def own_work(lines: Iterable[Mapping[str, Any]]) -> list[Decimal]:
    """The sums of a draft's getting ready, days on set and finishing."""
    kinds = {"preparation", "shooting_day", "half_day", "finishing"}
    return [each["quantity"] * each["unit_price"] for each in lines if each["kind"] in kinds]
