from datetime import date
from decimal import Decimal as D
from typing import Any

import pytest

from billing.estimates.lines import finishing_by_kind, helper_line, kit_line, preparation_lines, set_lines, travel_line
from billing.rates.models import RateCard
from shared.words.formats import plain_spaces


def card(**values: object) -> RateCard:
    made = RateCard(valid_from=date(2026, 1, 1), **values)
    made.clean_fields()
    return made


def told(lines: list[dict[str, Any]]) -> list[tuple[str, D, str, D]]:
    return [(each["kind"], each["quantity"], each["unit"], each["unit_price"]) for each in lines]


def test_getting_ready_is_hours_and_whole_days_where_the_card_has_a_rate_for_one() -> None:
    # By hand: four hours a day on set, so 12 for three days; with a rate for a day of 8 hours a day and 4 hours
    assert told(preparation_lines(3, card(), "en")) == [("preparation", D(12), "hour", D(65))]
    assert told(preparation_lines(3, card(preparation_day_rate=D(450)), "en")) == [
        ("preparation", D(1), "day", D(450)),
        ("preparation", D(4), "hour", D(65)),
    ]


@pytest.mark.parametrize(
    ("on_set", "lines"),
    [
        ("0.5", [("half_day", D(1), "half_day", D(470))]),
        ("1", [("shooting_day", D(1), "day", D(780))]),
        ("2.5", [("shooting_day", D(2), "day", D(780)), ("half_day", D(1), "half_day", D(470))]),
    ],
)
def test_days_on_set_are_whole_ones_and_the_half_one_left(on_set: str, lines: list[tuple[str, D, str, D]]) -> None:
    assert told(set_lines(D(on_set), None, None, card(), "en")) == lines


def test_days_are_named_where_they_are_the_ones_meant() -> None:
    first, last = date(2026, 11, 14), date(2026, 11, 15)
    (named,) = set_lines(D(2), first, last, card(), "en")
    (unnamed,) = set_lines(D(2), None, None, card(), "en")
    assert plain_spaces(named["working"]).startswith("14 Nov 2026 to 15 Nov 2026, 2 × €780.00")
    assert "Nov" not in unnamed["working"]


def test_a_helper_is_passed_on_at_cost_with_the_cards_mark_up() -> None:
    line = helper_line("digital_operator", "Ivo Pellander", 2, card(markup_percent=D(10)), "en")
    assert told([line]) == [("assistant", D(2), "day", D(280))]
    assert (line["what"], line["markup_percent"], line["is_at_cost"]) == ("Digital operator", 10, True)
    assert "Ivo Pellander" in line["working"]


def test_kit_is_counted_by_days_and_the_way_there_and_back_by_kilometres() -> None:
    assert told([kit_line(2, card(kit_rate=D(90)), "en")]) == [("kit", D(2), "day", D(90))]
    line = travel_line(D(23), 2, card(km_rate=D("0.42")), "de")
    assert told([line]) == [("travel", D(92), "kilometre", D("0.42"))]  # 23 × 2 × 2


def test_finishing_is_reckoned_by_the_minutes_of_each_kind() -> None:
    # By hand: 4 × 25, 40 and 90 minutes at 60 an hour
    lines = finishing_by_kind({"simple": 4, "cut_out": 1, "composite": 1}, card(), "en")
    assert [(each["finishing"], each["quantity"]) for each in lines] == [
        ("simple", D("1.6667")),
        ("cut_out", D("0.6667")),
        ("composite", D("1.5")),
    ]
    assert {each["unit_price"] for each in lines} == {D(60)}
