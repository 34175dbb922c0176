from datetime import date

import pytest

from billing.estimates.forms import CurrencyForm, LineForm

DAY = date(2026, 10, 28)
RATE = {"currency": "chf", "rate": "0.9412", "rate_on": "2026-10-28", "source": "Our bank"}


def test_another_money_has_a_dated_rate_and_the_studios_own_has_none():
    other = CurrencyForm(RATE, own="EUR", on=DAY)
    assert other.is_valid(), other.errors
    assert (other.cleaned_data["currency"], other.cleaned_data["rate_on"]) == ("CHF", DAY)
    own = CurrencyForm(RATE | {"currency": "eur"}, own="EUR", on=DAY)
    assert own.is_valid(), own.errors
    assert (own.cleaned_data["rate"], own.cleaned_data["rate_on"], own.cleaned_data["source"]) == (None, None, "")


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"quantity": "-1"}, "quantity"),
        ({"unit_price": "-1"}, "unit_price"),
        ({"markup_percent": "101"}, "markup_percent"),
        ({"markup_percent": "10", "is_disbursement": "on"}, "markup_percent"),
        ({"kind": "usage", "is_optional": "on"}, "is_optional"),
    ],
)
def test_a_line_that_cannot_be_is_refused_where_it_was_typed(typed, field):
    line = {
        "kind": "other",
        "what": "Groceries",
        "quantity": "1",
        "unit": "",
        "unit_price": "120",
        "markup_percent": "",
    }
    assert LineForm(line).is_valid()
    assert list(LineForm(line | typed).errors) == [field]
