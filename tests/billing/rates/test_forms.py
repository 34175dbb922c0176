from datetime import date

import pytest

from billing.rates.forms import RateCardForm
from billing.rates.queries import starting_rates

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("day_rate", "0"),
        ("overtime_rate", "-5"),
        ("deposit_percent", "140"),
        ("currency", "XQX"),
        ("hours_in_day", "30"),
    ],
)
def test_rates_that_cannot_be_are_refused_under_their_field(field, value):
    card = starting_rates(date(2026, 1, 1))
    typed = {name: str(getattr(card, name)) for name in RateCardForm.Meta.fields} | {"version": "1"}
    assert RateCardForm(typed, instance=starting_rates(date(2026, 1, 1))).is_valid()
    form = RateCardForm(typed | {field: value}, instance=card)
    assert field in form.errors
