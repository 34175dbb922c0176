"""Usage fee: the worked figures of the project's own definition, computed exactly by an independent reference before this code was written.

The factors are the shipped starting card: common practice, no source. Germany and 12 months unless said.
"""

from datetime import date
from decimal import Decimal as D
from fractions import Fraction as F

import pytest

from billing.rates.fees import Exclusive, UseItem, change_fee, term_factor, usage_fee
from billing.rates.starting_card import STARTING_CARD


def item(
    classes: str,
    media: str,
    places: str = "DE",
    months: int | None = 12,
    copies: int | str | None = None,
    exclusive: str = "none",
    exclusive_months: int | None = None,
) -> UseItem:
    return UseItem(
        frozenset(classes.split()), frozenset(media.split()), frozenset(places.split()), date(2027, 3, 1), months, copies,
        Exclusive(exclusive), exclusive_months,
    )  # fmt: skip


PACKAGING = {"months": 24, "copies": 100_000, "exclusive": "trade"}


@pytest.mark.parametrize(
    ("pictures", "items", "total", "fee"),
    [
        (12, [item("stock", "print.packaging", **PACKAGING)], "6728.67", "6730"),
        (12, [item("stock", "print.packaging", **{**PACKAGING, "copies": 100_001})], "8281.44", "8285"),
        (12, [item("advertising", "print.packaging", **PACKAGING)], "8074.404", "8075"),
        (12, [item("stock", "print.packaging", **PACKAGING, exclusive_months=12)], "5981.04", "5985"),
        (
            6,
            [item("advertising", "web.own web.social"), item("advertising", "print.menu", copies=900)],
            "1440.504",
            "1445",
        ),
        (5, [item("advertising", "web.own", "DE AT CH")], "1080", "1080"),
        (1, [item("stock", "web.own", months=18)], "112.5", "115"),
        (1, [item("editorial", "print.editorial", "AT", 1, 500)], "5.67", "90"),
        (1, [item("editorial advertising stock", "all", "world", None, "unlimited", "picture")], "113400", "113400"),
        (1, [item("advertising", "print.ad", months=60, copies=1_000_000, exclusive="picture")], "2970", "2970"),
    ],
)
def test_worked_fees(pictures: int, items: list[UseItem], total: str, fee: str) -> None:
    found = usage_fee(STARTING_CARD, pictures, items)
    assert found.total == F(total)
    assert found.fee == D(fee)


def test_a_menu_beside_the_website_is_cheaper_as_a_line_of_its_own() -> None:
    found = usage_fee(
        STARTING_CARD, 6, [item("advertising", "web.own web.social"), item("advertising", "print.menu", copies=900)]
    )
    assert [line.total for line in found.lines] == [F("1137.24"), F("303.264")]


def test_a_change_of_use() -> None:
    assert change_fee(STARTING_CARD, D(8075), D(6730)) == D(1385)


@pytest.mark.parametrize(("months", "factor"), [(9, "0.85"), (18, "1.25"), (90, "3"), (180, "4.5"), (240, "5")])
def test_term_factors(months: int, factor: str) -> None:
    assert term_factor(STARTING_CARD, months) == F(factor)
