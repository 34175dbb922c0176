from dataclasses import replace
from datetime import date
from decimal import Decimal as D

import pytest

from billing.rates.models import RateCard
from billing.rates.wanted import Kitchen, ShootFacts, preparation_days, rush_sum, wanted_lines

FACTS = ShootFacts(days=2, pictures=9)


def rates(**values: object) -> RateCard:
    card = RateCard(valid_from=date(2026, 1, 1), **values)
    card.clean_fields()
    return card


def found(facts: ShootFacts, **values: object) -> list[tuple[str, D, D]]:
    return [(each.rate, each.quantity, each.unit_price) for each in wanted_lines(facts, rates(**values))]


@pytest.mark.parametrize(
    ("facts", "lines"),
    [
        ({}, []),
        ({"kitchen": Kitchen.CLIENT}, []),
        ({"kitchen": Kitchen.OWN}, [("food_rate", 9, 15)]),
        ({"kitchen": Kitchen.OTHER}, [("kitchen_rate", 2, 240), ("food_rate", 9, 15)]),
        ({"kitchen": Kitchen.OTHER, "pictures": 0}, [("kitchen_rate", 2, 240)]),
        ({"has_prop_stylist": True}, [("props_rate", 2, 90)]),
        ({"distance_km": D("149.9")}, []),
        ({"distance_km": D(150)}, [("half_travel_day_rate", 2, 195)]),
        ({"distance_km": D("299.9")}, [("half_travel_day_rate", 2, 195)]),
        ({"distance_km": D(300)}, [("travel_day_rate", 2, 390)]),
    ],
)  # fmt: skip
def test_the_shoot_says_what_it_wants(facts: dict[str, object], lines: list[tuple[str, int, int]]) -> None:
    assert found(replace(FACTS, **facts)) == lines  # type: ignore[arg-type]


def test_a_rate_of_nothing_makes_no_line() -> None:
    nothing = {"studio_rate": 0, "kitchen_rate": 0, "props_rate": 0, "food_rate": 0, "travel_day_rate": 0}
    for kitchen in Kitchen:
        facts = replace(FACTS, kitchen=kitchen, has_prop_stylist=True, distance_km=D(500))
        assert found(facts, **nothing) == []


def test_costs_passed_on_have_the_mark_up_and_the_cap_of_their_kind() -> None:
    facts = replace(FACTS, kitchen=Kitchen.OTHER)
    kitchen, food = wanted_lines(
        facts, rates(hire_markup_percent=12, food_markup_percent=5, is_hire_capped=True, is_food_capped=False)
    )
    assert (kitchen.markup_percent, kitchen.is_at_cost, kitchen.is_at_most) == (12, True, True)
    assert (food.markup_percent, food.is_at_cost, food.is_at_most) == (5, True, False)


def test_ones_own_studio_is_no_cost_passed_on() -> None:
    studio, _food = wanted_lines(replace(FACTS, kitchen=Kitchen.OWN), rates(studio_rate=200, is_hire_capped=True))
    assert (studio.rate, studio.markup_percent, studio.is_at_cost, studio.is_at_most) == (
        "studio_rate",
        0,
        False,
        False,
    )


@pytest.mark.parametrize(
    ("hours", "rate", "days", "left"),
    [(4, 480, 0, 4), (8, 480, 1, 0), (12, 480, 1, 4), (16, 480, 2, 0), (12, 0, 0, 12)],
)
def test_whole_days_of_getting_ready_where_a_day_has_a_rate(hours: int, rate: int, days: int, left: int) -> None:
    assert preparation_days(D(hours), rates(preparation_day_rate=rate)) == (days, left)


@pytest.mark.parametrize(("ahead", "more"), [(None, 0), (-1, 0), (0, 250), (3, 250), (4, 0)])
def test_haste_adds_its_share_up_to_the_last_late_day(ahead: int | None, more: int) -> None:
    assert rush_sum(replace(FACTS, days_ahead=ahead), rates(rush_percent=25), [D(780), D(220)]) == more


def test_haste_is_rounded_once() -> None:
    assert rush_sum(replace(FACTS, days_ahead=0), rates(rush_percent=D("12.5")), [D("0.02"), D("0.02")]) == D("0.01")
