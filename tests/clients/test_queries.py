from datetime import UTC, datetime

import pytest

from clients.actions import add_trade
from clients.models import Kitchen
from clients.queries import (
    client_in_full,
    clients_listed,
    clients_to_choose,
    hour_lines,
    kitchen_defaults,
    kitchen_in_full,
    kitchens_listed,
    kitchens_to_choose,
    missing_for_invoices,
    person_in_full,
    persons_listed,
    persons_of_client,
    trade_names,
    trades_by_key,
    trades_to_choose,
    window_lines,
)
from tests.factories.clients import ClientFactory, ClientPersonFactory, KitchenFactory, PersonFactory

pytestmark = pytest.mark.django_db
AT = datetime(2026, 10, 28, 9, tzinfo=UTC)


def test_a_client_is_found_by_name_city_person_and_number():
    lantern = ClientFactory(name="Walnut Lantern", city="Lindhafen")
    mill = ClientFactory(name="Kvernmoor Mill", city="Oldebrook")
    ClientPersonFactory(client=mill, person=PersonFactory(name="Runa Halloway", email="runa@kvernmoor-mill.example"))
    assert list(clients_listed(text="lantern")) == [lantern]
    assert list(clients_listed(text="oldebrook")) == [mill]
    assert list(clients_listed(text="runa")) == [mill]
    assert lantern in clients_listed(text=str(lantern.pk))
    assert list(clients_listed(text="mill halloway")) == [mill]
    assert not clients_listed(text="nobody")


def test_clients_are_filtered_by_kind_and_by_whether_they_are_archived():
    restaurant, agency = ClientFactory(), ClientFactory(kind="agency")
    gone = ClientFactory(archived_at=AT)
    assert list(clients_listed(kind="agency")) == [agency]
    assert set(clients_listed()) == {restaurant, agency}
    assert list(clients_listed(archived="archived")) == [gone]
    assert clients_listed(archived="all").count() == 3
    assert gone not in clients_to_choose()


def test_the_studio_s_own_kitchen_is_offered_first_and_an_archived_one_last():
    archived, of_client, own = KitchenFactory(archived_at=AT), KitchenFactory(), KitchenFactory(client=None)
    assert list(kitchens_to_choose()) == [own, of_client]
    assert list(kitchens_listed()) == [own, of_client, archived]
    assert list(kitchens_listed(text=of_client.client.name)) == [of_client]


def test_persons_are_found_by_name_and_by_their_client():
    part = ClientPersonFactory(client=ClientFactory(name="Oystercatcher Pantry"))
    other = PersonFactory(name="Ivo Pellander")
    assert list(persons_listed(text="pantry")) == [part.person]
    assert list(persons_listed(text="ivo")) == [other]
    assert list(persons_of_client(part.client)) == [part.person]


def test_a_client_a_person_and_a_kitchen_come_with_what_their_page_shows():
    part = ClientPersonFactory()
    kitchen = KitchenFactory(client=part.client, key_holder=part.person)
    assert list(client_in_full(part.client_id).get().kitchens.all()) == [kitchen]
    assert list(person_in_full(part.person_id).get().kitchens_held.all()) == [kitchen]
    assert kitchen_in_full(kitchen.pk).get().key_holder == part.person


def test_what_a_client_lacks_for_an_invoice_is_told_before_the_month_ends():
    client = ClientFactory(street="", invoice_email="books@walnut-lantern.example")
    assert [each.point for each in missing_for_invoices(client, AT)] == ["226(5)"]


def test_a_trade_is_found_by_any_name_it_has():
    add_trade("cider", names={"de": "Apfelwein", "fr": "cidre"})
    assert "cider" in trades_to_choose()
    assert trades_by_key(["Apfelwein", "CIDRE", "clock maker"]) == {"apfelwein": "cider", "cidre": "cider"}
    assert trade_names(" Cidre ") == {"de": "Apfelwein", "fr": "cidre"}
    assert trade_names("clock maker") == trade_names("") == {}


def test_a_new_kitchen_s_form_begins_with_the_address_of_its_owner():
    client = ClientFactory()
    assert kitchen_defaults(Kitchen(), client, AT)["city"] == client.city
    assert kitchen_defaults(KitchenFactory(), client, AT) == {}
    assert window_lines(Kitchen()) == hour_lines(Kitchen()) == []
