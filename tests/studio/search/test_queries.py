from datetime import date

import pytest

from studio.search.queries import find_everywhere
from tests.factories.clients import ClientFactory
from tests.factories.pictures import picture_of
from tests.factories.releases import offered_release, shoot_with_cook

pytestmark = pytest.mark.django_db
ON = date(2026, 11, 12)


def test_one_word_finds_client_shoot_person_picture_and_release():
    shoot = shoot_with_cook()
    offered_release(shoot)
    picture_of(shoot, title="Bread boat of Walnut Lantern")
    places = [each.place for each in find_everywhere("walnut lantern", role="owner", on=ON)]
    assert {"Clients", "Shoots", "Pictures", "Releases"} <= set(places)
    assert [each.hits[0].name for each in find_everywhere("maro", role="owner", on=ON) if each.place == "People"] == [
        "Maro Lantadze"
    ]


def test_nothing_is_found_for_nothing():
    assert find_everywhere("  ", role="owner", on=ON) == []


def test_the_accountant_finds_clients_and_invoices_only():
    shoot_with_cook()
    assert [each.place for each in find_everywhere("walnut", role="accountant", on=ON)] == ["Clients"]


def test_a_long_list_is_cut_and_says_so():
    for _ in range(10):
        ClientFactory()
    [clients] = [each for each in find_everywhere("Walnut", role="owner", on=ON) if each.place == "Clients"]
    assert (len(clients.hits), clients.has_more) == (8, True)
