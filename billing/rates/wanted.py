"""Which of the card's rates a shoot asks for beside days, helpers and pictures: hires, groceries, travel days, a day of getting ready, haste.

Which fact calls for which rate: common practice, no source. A rate of 0 calls for no line.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from typing import Protocol

from shared.money import round_money


class Kitchen(StrEnum):
    """Whose kitchen a shoot is in."""

    OWN = "own"
    CLIENT = "client"
    OTHER = "other"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True)
class ShootFacts:
    """What of a shoot asks for rates. ``distance_km`` one way; ``days_ahead`` from asking to the first day, None while there is no day."""

    days: int
    pictures: int
    kitchen: Kitchen = Kitchen.UNKNOWN
    distance_km: Decimal | None = None
    has_prop_stylist: bool = False
    days_ahead: int | None = None


class Rates(Protocol):
    """What is asked of a rate card here; sums before tax, distances in km."""

    hours_in_day: Decimal
    preparation_day_rate: Decimal
    studio_rate: Decimal
    kitchen_rate: Decimal
    props_rate: Decimal
    food_rate: Decimal
    hire_markup_percent: Decimal
    food_markup_percent: Decimal
    is_hire_capped: bool
    is_food_capped: bool
    travel_day_rate: Decimal
    travel_day_km: int
    half_travel_day_rate: Decimal
    half_travel_day_km: int
    rush_percent: Decimal
    rush_days: int


@dataclass(frozen=True, slots=True)
class WantedLine:
    """A line a shoot asks for. ``is_at_cost``: passed on; ``is_at_most``: a capped cost."""

    rate: str
    quantity: Decimal
    unit: str
    unit_price: Decimal
    markup_percent: Decimal = Decimal(0)
    is_at_cost: bool = False
    is_at_most: bool = False


def wanted_lines(facts: ShootFacts, rates: Rates) -> tuple[WantedLine, ...]:
    """Hires, groceries and travel days of a shoot, in the order they are offered."""
    lines = []
    for name, is_wanted in (
        ("studio_rate", facts.kitchen == Kitchen.OWN),
        ("kitchen_rate", facts.kitchen == Kitchen.OTHER),
        ("props_rate", facts.has_prop_stylist),
    ):
        price = getattr(rates, name)
        if is_wanted and price:
            is_own = name == "studio_rate"  # one's own room is no cost passed on
            lines.append(
                WantedLine(
                    name, Decimal(facts.days), "day", price, Decimal(0) if is_own else rates.hire_markup_percent,
                    not is_own, rates.is_hire_capped and not is_own,
                )
            )  # fmt: skip
    if facts.kitchen in (Kitchen.OWN, Kitchen.OTHER) and rates.food_rate and facts.pictures:
        lines.append(
            WantedLine("food_rate", Decimal(facts.pictures), "picture", rates.food_rate, rates.food_markup_percent, True, rates.is_food_capped)
        )  # fmt: skip
    return (*lines, *_travel_days(facts, rates))


def preparation_days(hours: Decimal, rates: Rates) -> tuple[int, Decimal]:
    """Whole days of getting ready, and the hours left over; no days where the card has no rate for one."""
    if not rates.preparation_day_rate or rates.hours_in_day <= 0:
        return 0, hours
    days = int(hours // rates.hours_in_day)
    return days, hours - days * rates.hours_in_day


def rush_sum(facts: ShootFacts, rates: Rates, sums: Iterable[Decimal]) -> Decimal:
    """What is added to the sums of one's own work when a shoot is asked for late; 0 where it is not, or was asked for after the day."""
    if facts.days_ahead is None or not 0 <= facts.days_ahead <= rates.rush_days:
        return Decimal(0)
    return round_money(sum(sums, Decimal(0)) * rates.rush_percent / 100)


def _travel_days(facts: ShootFacts, rates: Rates) -> tuple[WantedLine, ...]:
    """There and back, each a travel day or a half one, from the card's distances on."""
    far = facts.distance_km
    if far is None or far < rates.half_travel_day_km:
        return ()
    name = "travel_day_rate" if far >= rates.travel_day_km else "half_travel_day_rate"
    price = getattr(rates, name)
    unit = "day" if name == "travel_day_rate" else "half_day"
    return (WantedLine(name, Decimal(2), unit, price),) if price else ()
