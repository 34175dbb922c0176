from datetime import date

import pytest

from billing.rates.queries import rate_card_on, starting_rates, usage_rows

pytestmark = pytest.mark.django_db


def test_without_rates_there_are_starting_values_and_the_shipped_usage_card():
    assert rate_card_on(date(2026, 1, 1)) is None
    assert starting_rates(date(2026, 1, 1)).day_rate == 780
    assert dict(usage_rows(None))["Base, minimum, step, handling"][0] == ("Base", "180")
