import pytest
from django.urls import reverse

from tests.factories.clients import ClientFactory

pytestmark = pytest.mark.django_db


def test_what_was_typed_stays_in_the_field(client_for, owner):
    ClientFactory(name="Kvernmoor Mill")
    said = client_for(owner).get(reverse("search"), {"text": "kvern"}).content.decode()
    assert 'value="kvern"' in said
    assert "Kvernmoor Mill" in said


def test_no_hit_says_what_to_try(client_for, owner):
    assert "Try fewer letters" in client_for(owner).get(reverse("search"), {"text": "zzz"}).content.decode()
