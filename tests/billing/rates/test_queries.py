from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest

from billing.rates.card import card_data
from billing.rates.queries import (
    rate_card_on,
    starting_rates,
    usage_history,
    usage_in_force,
    usage_kept,
    usage_money,
    usage_rows,
)
from billing.rates.starting_card import STARTING_CARD
from tests.factories.billing import RateCardFactory

pytestmark = pytest.mark.django_db
JAN, APR, JUL, OCT = (date(2026, month, 1) for month in (1, 4, 7, 10))


def own(base: str) -> dict[str, object]:
    return card_data(STARTING_CARD) | {"base": base}


def test_without_rates_there_are_starting_values_and_the_shipped_usage_card():
    assert rate_card_on(date(2026, 1, 1)) is None
    assert starting_rates(date(2026, 1, 1)).day_rate == 780
    assert usage_money(None) == {"base": 180, "minimum": 90, "step": 5, "handling": 40}
    assert usage_kept(None)["base"] == "180"
    assert usage_history() == []
    assert usage_in_force([], JAN) is None


def test_every_factor_is_read_on_the_page():
    rows = {heading: dict(found) for heading, found in usage_rows(None)}
    assert rows["Where it is shown"]["Menu"] == "0.4"
    assert rows["In which countries"]["United States"] == "1.7"
    assert rows["In which countries"]["Every other country"] == "0.3"
    assert rows["For how long"] | {} == {
        "At the start": "0.25", "1 month": "0.35", "3 months": "0.52", "6 months": "0.7", "12 months": "1", "24 months": "1.5",
        "36 months": "1.9", "60 months": "2.5", "120 months": "3.5", "Without end": "5",
    }  # fmt: skip
    assert rows["Who is shut out"] == {"Nobody": "1", "Other firms of the same trade": "1.5", "Everybody else": "2.5"}
    assert rows["How many copies in print"]["More"] == "2.8"


def test_usage_fees_begin_where_they_change_and_end_the_day_before_the_next():
    RateCardFactory(valid_from=JAN)
    RateCardFactory(valid_from=APR, usage=own("200"))
    RateCardFactory(valid_from=JUL, usage=own("200"))
    RateCardFactory(valid_from=OCT, usage=own("220"))
    history = usage_history()
    assert [(each.card.valid_from, each.last_on, each.is_own) for each in history] == [
        (OCT, None, True),
        (APR, date(2026, 9, 30), True),
        (JAN, date(2026, 3, 31), False),
    ]
    assert history[0].money["base"] == Decimal(220)
    assert [usage_in_force(history, on) for on in (OCT, JUL, date(2026, 3, 31), date(2025, 1, 1))] == [
        history[0], history[1], history[2], history[2],
    ]  # fmt: skip


def test_the_starting_values_saved_as_own_are_still_the_starting_values():
    RateCardFactory(valid_from=JAN)
    RateCardFactory(valid_from=APR, usage=card_data(STARTING_CARD))
    assert [each.is_own for each in usage_history()] == [False]
    assert Fraction(usage_kept(rate_card_on(APR))["base"]) == 180
