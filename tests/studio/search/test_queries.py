from datetime import date

import pytest

from studio.search.queries import find_everywhere
from tests.factories.clients import ClientFactory
from tests.factories.found import recorded, used_by
from tests.factories.licences import kvernmoor
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


@pytest.mark.parametrize("text", ["soup", "fennelyard", "fennel yard", "brickyard", "F-2026-001", "fennel brickyard"])
def test_a_use_found_is_found_by_its_place_link_user_note_and_number(text):
    found = recorded(link="https://fennelyard.example/soup", note="Told by the brickyard’s cook")
    [uses] = [each for each in find_everywhere(text, role="owner", on=ON) if each.place == "Uses found"]
    assert [(each.name, each.detail, each.url) for each in uses.hits] == [
        (str(found), "Fennel Yard", f"/found/{found.pk}/")
    ]
    assert "Uses found" not in [each.place for each in find_everywhere(text, role="accountant", on=ON)]


def test_a_use_found_is_found_by_its_client():
    client = kvernmoor()
    found = used_by(client, picture_of(shoot_with_cook()))
    [uses] = [each for each in find_everywhere("kvernmoor", role="owner", on=ON) if each.place == "Uses found"]
    assert (uses.hits[0].name, uses.hits[0].detail) == (str(found), "Kvernmoor Mill")
