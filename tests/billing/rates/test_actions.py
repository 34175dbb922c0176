from datetime import date
from decimal import Decimal

import pytest

from billing.rates import actions
from billing.rates.models import MileageRate, RateCard
from billing.rates.queries import rate_card_on, starting_rates
from shared.edits import EditedMeanwhile
from tests.factories.billing import RateCardFactory

pytestmark = pytest.mark.django_db


def values(**also):
    card = starting_rates(date(2026, 7, 1))
    return {name: getattr(card, name) for name in actions.RATE_FIELDS} | also


def test_new_rates_count_from_their_first_day_on():
    RateCardFactory()
    actions.set_rates(values(day_rate=Decimal(820)))
    assert rate_card_on(date(2026, 6, 30)).day_rate == 780
    assert rate_card_on(date(2026, 7, 1)).day_rate == 820


def test_two_cards_from_one_day_are_refused():
    RateCardFactory(valid_from=date(2026, 7, 1))
    with pytest.raises(actions.RatesFromThatDay, match="1 Jul 2026"):
        actions.set_rates(values())


def test_a_stale_page_of_rates_is_told():
    card = RateCardFactory(valid_from=date(2026, 7, 1))
    actions.set_rates(values(), card=RateCard.objects.get(), version=1)
    with pytest.raises(EditedMeanwhile):
        actions.set_rates(values(), card=card, version=1)


def test_a_usage_card_is_kept_with_its_rates():
    card = actions.set_usage_card(RateCardFactory(), {"base": "200"}, version=1)
    assert RateCard.objects.get(pk=card.pk).usage == {"base": "200"}


def test_a_mileage_rate_of_the_same_day_replaces_the_old_one():
    given = {
        "name": "Car",
        "valid_from": date(2026, 1, 1),
        "unit": "km",
        "threshold": None,
        "rate_above": None,
        "source": "from memory",
    }
    actions.set_mileage_rate({**given, "rate": Decimal("0.30")})
    actions.set_mileage_rate({**given, "rate": Decimal("0.38")})
    assert MileageRate.objects.get().rate == Decimal("0.38")
