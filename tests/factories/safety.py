"""Shoots as their safety is looked at: dishes read, one of them asked, a kitchen with hazards and calls of its own."""

from typing import Any

from shoots.brief.models import Shoot
from tests.factories.plan import planned_shoot


def safe_shoot(dishes: int = 1, **also: Any) -> Shoot:
    """A planned shoot in a kitchen whose hazards and calls are written down. Nobody was asked for allergens yet."""
    shoot = planned_shoot(dishes, **also)
    kitchen = shoot.kitchen
    kitchen.hazards, kitchen.calls = (
        "Oven mouth, 250 °C, at hip height",
        "“Heiß!”: von hinten\n“Messer”: eine Klinge kommt",
    )
    kitchen.save()
    return shoot
