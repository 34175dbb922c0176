import threading
from datetime import UTC, datetime, time

import pytest
from django.db import connection

from clients.actions import (
    add_client,
    add_kitchen,
    add_person,
    add_trade,
    archive_client,
    archive_kitchen,
    bring_back_client,
    bring_back_kitchen,
    change_client,
    claim_names,
    keep_trades,
    leave_client,
    save_kitchen,
    save_person,
    set_parts,
)
from clients.models import Person, Trade
from clients.trades import TradeRefused
from shared.edits import EditedMeanwhile
from tests.factories.clients import ClientFactory, KitchenFactory, PersonFactory

pytestmark = pytest.mark.django_db
AT = datetime(2026, 10, 28, 9, tzinfo=UTC)
WINDOW = {"name": "Courtyard", "bearing_degrees": 350, "width_cm": 120, "height_cm": 160}
MORNING = {"weekday": 0, "from_time": time(9), "until_time": time(15)}


def test_a_new_client_comes_with_the_person_who_orders():
    client = add_client(
        name="Walnut Lantern", language="de", contact={"name": "Maro Lantadze", "email": "maro@walnut-lantern.example"}
    )
    part = client.parts.get()
    assert (part.person.name, part.person.language) == ("Maro Lantadze", "de")
    assert part.words == ["orders", "approves", "pays"]


def test_a_client_without_a_contact_is_a_client_too():
    client = add_client(name="Kvernmoor Mill", contact={"name": "", "email": ""})
    assert not Person.objects.exists()
    assert client.pk


def test_an_archived_client_can_be_brought_back():
    client = ClientFactory()
    archive_client(client, at=AT)
    assert client.archived_at == AT
    bring_back_client(client)
    assert client.archived_at is None


def test_two_people_who_edit_one_client_do_not_overwrite_each_other():
    client = ClientFactory(name="Walnut Lantern")
    client.city = "Lindhafen"
    change_client(client, fields=["city"], version=1)
    with pytest.raises(EditedMeanwhile):
        change_client(client, fields=["city"], version=1)


def test_parts_are_said_anew_as_a_whole():
    client, person = ClientFactory(), PersonFactory()
    set_parts(client, person=person, parts={"orders": True, "cooks": True})
    set_parts(client, person=person, parts={"cooks": True})
    assert client.parts.get().words == ["cooks"]
    leave_client(client, person=person)
    assert not client.parts.exists()
    assert Person.objects.filter(pk=person.pk).exists()


def test_a_person_can_be_known_without_a_client():
    person = add_person(name="Ivo Pellander")
    assert not person.parts.exists()
    person.phone = "+49 30 5550188"
    assert save_person(person, fields=["phone"], version=1).version == 2


def test_a_kitchen_keeps_its_windows_and_free_hours():
    kitchen = add_kitchen(name="Lampwick Lane 4", client=ClientFactory(), windows=[WINDOW], hours=[MORNING])
    assert kitchen.windows.get().bearing_degrees == 350
    save_kitchen(kitchen, fields=["name"], version=1, windows=[], hours=[MORNING, {**MORNING, "weekday": 2}])
    assert (kitchen.windows.count(), kitchen.free_hours.count()) == (0, 2)


def test_a_stale_kitchen_form_leaves_the_windows_alone():
    kitchen = add_kitchen(name="Own studio", windows=[WINDOW])
    save_kitchen(kitchen, fields=["name"], version=1, windows=[WINDOW], hours=[])
    with pytest.raises(EditedMeanwhile):
        save_kitchen(kitchen, fields=["name"], version=1, windows=[], hours=[])
    assert kitchen.windows.count() == 1


def test_a_kitchen_can_be_archived_and_brought_back():
    kitchen = KitchenFactory()
    archive_kitchen(kitchen, at=AT)
    assert kitchen.archived_at == AT
    bring_back_kitchen(kitchen)
    assert kitchen.archived_at is None


# The list of trades


def test_a_trade_is_on_the_list_once_under_all_its_names():
    add_trade("cider", names={"de": "Apfelwein", "fr": ""})
    assert Trade.objects.get(name="cider").names == {"de": "Apfelwein"}
    for name, names in (("Cider", {}), ("apfelwein", {}), ("perry", {"sv": "CIDER"})):
        with pytest.raises(TradeRefused, match="Choose cider"):
            add_trade(name, names=names)
    assert not Trade.objects.filter(name="perry").exists()


def test_a_name_claimed_stays_when_the_trade_gets_another():
    trade = add_trade("cider")
    trade.name = "cider and perry"
    claim_names(trade)
    assert set(trade.words.values_list("key", flat=True)) == {"cider", "cider and perry"}


def test_trades_are_kept_as_the_list_calls_them_each_once_and_in_order():
    assert keep_trades(["smoked fish", " BAKERY", "", "Bäckerei", "smoked  Fish"]) == ["smoked fish", "bakery"]
    assert keep_trades([" "]) == []
    with pytest.raises(TradeRefused):
        keep_trades(["12"])


def test_a_client_is_of_a_trade_on_the_list():
    client = add_client(name="Rook Roastery", trade="Kaffee")
    assert client.trade == "coffee"
    client.trade = "smoked fish"
    change_client(client, fields=["trade"], version=client.version)
    client.refresh_from_db()
    assert client.trade == Trade.objects.get(name="smoked fish").name


@pytest.mark.both
@pytest.mark.django_db(transaction=True)
def test_the_same_new_trade_from_two_hands_is_one():
    start, told = threading.Barrier(3), []

    def keep():
        start.wait(timeout=10)
        try:
            told.extend(keep_trades(["smoked fish"]))
        finally:
            connection.close()

    hands = [threading.Thread(target=keep) for _ in range(3)]
    [hand.start() for hand in hands]
    [hand.join(timeout=30) for hand in hands]
    assert told == ["smoked fish"] * 3
    assert Trade.objects.filter(name="smoked fish").count() == 1
