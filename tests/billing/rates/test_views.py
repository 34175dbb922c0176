import pytest
from django.urls import reverse

from billing.rates.models import RateCard
from tests.factories.billing import RateCardFactory
from tests.factories.shared import BusinessProfileFactory

pytestmark = pytest.mark.django_db


def test_only_the_owner_reads_the_rates(client_for, owner, assistant, accountant):
    BusinessProfileFactory()
    RateCardFactory()
    page = client_for(owner).get(reverse("rates")).content.decode()
    assert "€780.00" in page
    assert "common practice, no source" in page
    assert client_for(assistant).get(reverse("rates")).status_code == 403
    assert client_for(accountant).get(reverse("rates")).status_code == 403


def test_a_wrong_rate_keeps_what_was_typed(client_for, owner):
    BusinessProfileFactory()
    answer = client_for(owner).post(reverse("new_rates"), {"valid_from": "1 Jul 2026", "day_rate": "abc"})
    assert answer.status_code == 422
    assert 'value="abc"' in answer.content.decode()
    assert not RateCard.objects.exists()
