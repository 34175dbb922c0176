import pytest
from django.http import QueryDict

from clients.models import Client
from shared.addresses import key_in, row_named
from tests.factories.clients import ClientFactory

pytestmark = pytest.mark.django_db


def test_the_row_an_address_names_is_found_among_those_handed_in():
    client = ClientFactory()
    query = QueryDict(f"client={client.pk}")
    assert row_named(query, "client", Client.objects.all()) == client
    assert row_named(query, "client", Client.objects.exclude(pk=client.pk)) is None


@pytest.mark.parametrize("typed", ["", "client=", "client=-1", "client=one", "client=1.5", "client=" + "9" * 15])
def test_what_is_no_key_names_nothing(typed):
    ClientFactory()
    assert row_named(QueryDict(typed), "client", Client.objects.all()) is None


@pytest.mark.parametrize(("text", "key"), [("7", 7), (7, 7), (None, None), ("", None), ("²", None), ("9" * 15, None)])
def test_a_key_is_digits_and_not_too_many(text, key):
    assert key_in(text) == key
