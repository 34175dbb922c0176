import uuid

import pytest
from django.urls import reverse

from clients.models import Client, ClientPerson, Kitchen, Person
from tests.factories.clients import ClientFactory, ClientPersonFactory, KitchenFactory, PersonFactory

pytestmark = pytest.mark.django_db

NEW = {
    "name": "Walnut Lantern",
    "kind": "restaurant",
    "city": "Lindhafen",
    "language": "de",
    "contact_name": "Maro Lantadze",
    "contact_email": "maro@walnut-lantern.example",
}
EMPTY_LINES = {
    f"{prefix}-{name}_FORMS": "0" for prefix in ("windows", "hours", "parts") for name in ("TOTAL", "INITIAL")
}
FULL = {
    "name": "Walnut Lantern",
    "kind": "restaurant",
    "language": "de",
    "country": "DE",
    "currency": "EUR",
    "version": "1",
}
KITCHEN = {"name": "Lampwick Lane 4", "country": "DE", "time_zone": "Europe/Berlin", "version": "1", **EMPTY_LINES}


@pytest.fixture
def desk(owner, client_for):
    return client_for(owner)


def test_a_new_client_is_there_after_one_short_form(desk):
    answer = desk.post(reverse("new_client"), NEW)
    client = Client.objects.get()
    assert answer.headers["Location"] == reverse("client_page", args=[client.pk])
    assert "Maro Lantadze" in desk.get(answer.headers["Location"]).content.decode()


def test_a_form_pressed_twice_makes_one_client(desk):
    form = {**NEW, "once": str(uuid.uuid4())}
    first, second = desk.post(reverse("new_client"), form), desk.post(reverse("new_client"), form)
    assert first.headers["Location"] == second.headers["Location"]
    assert Client.objects.count() == 1


def test_a_form_with_a_mistake_keeps_what_was_typed(desk):
    answer = desk.post(reverse("new_client"), {**NEW, "contact_email": "maro@"})
    assert answer.status_code == 422
    assert 'value="Walnut Lantern"' in answer.content.decode()
    assert not Client.objects.exists()


def test_a_client_edited_by_two_people_is_not_overwritten(desk):
    client = ClientFactory()
    url = reverse("edit_client", args=[client.pk])
    assert desk.post(url, FULL).status_code == 302
    answer = desk.post(url, {**FULL, "name": "Walnut Lantern, second house"})
    assert answer.status_code == 422
    page = answer.content.decode()
    assert "Someone changed this" in page
    assert "Walnut Lantern, second house" in page
    client.refresh_from_db()
    assert client.name == "Walnut Lantern"
    assert desk.post(url, {**FULL, "name": "Walnut Lantern, second house", "version": "2"}).status_code == 302


def test_a_client_is_archived_and_brought_back(desk):
    client = ClientFactory(name="Spoon & Lamp")
    desk.post(reverse("archive_client", args=[client.pk]))
    assert "Spoon &amp; Lamp" not in desk.get(reverse("clients")).content.decode().split('id="list"')[1]
    assert "Spoon &amp; Lamp" in desk.get(reverse("clients") + "?archived=archived").content.decode()
    desk.post(reverse("bring_back_client", args=[client.pk]))
    client.refresh_from_db()
    assert client.archived_at is None


def test_a_person_joins_a_client_from_its_page_and_leaves_from_their_own(desk):
    client, known = ClientFactory(), PersonFactory()
    url = reverse("add_client_person", args=[client.pk])
    assert desk.post(url, {"name": ""}).status_code == 422
    desk.post(url, {"name": "Maro Lantadze", "cooks": "on"})
    desk.post(url, {"known": known.pk, "pays": "on"})
    assert [part.words for part in client.parts.all()] == [["cooks"], ["pays"]]
    desk.post(reverse("leave_client", args=[client.pk, known.pk]))
    assert client.parts.count() == 1


def test_a_person_and_the_parts_at_each_client_are_saved_in_one_form(desk):
    first, second = ClientFactory(), ClientFactory()
    lines = {"parts-TOTAL_FORMS": "1", "parts-INITIAL_FORMS": "0", "parts-0-client": first.pk, "parts-0-cooks": "on"}
    desk.post(reverse("new_person"), {"name": "Maro Lantadze", "language": "de", "version": "1", **lines})
    person = Person.objects.get()
    assert person.parts.get().words == ["cooks"]
    lines |= {"parts-INITIAL_FORMS": "1", "parts-0-client": second.pk}
    assert (
        desk.post(
            reverse("edit_person", args=[person.pk]),
            {"name": "Maro Lantadze", "language": "de", "version": "1", **lines},
        ).status_code
        == 302
    )
    assert person.parts.get().client == second
    twice = {
        "parts-TOTAL_FORMS": "2",
        "parts-INITIAL_FORMS": "0",
        "parts-0-client": first.pk,
        "parts-1-client": first.pk,
    }
    answer = desk.post(
        reverse("edit_person", args=[person.pk]), {"name": "Maro Lantadze", "language": "de", "version": "2", **twice}
    )
    assert answer.status_code == 422
    assert "stands here twice" in answer.content.decode()


def test_a_kitchen_is_added_from_its_client_with_windows_and_hours(desk):
    client = ClientFactory()
    window = {"windows-TOTAL_FORMS": "1", "windows-0-bearing_degrees": "south-west", "windows-0-width_cm": "120"}
    hours = {"hours-TOTAL_FORMS": "1", "hours-0-weekday": "0", "hours-0-from_time": "9", "hours-0-until_time": "15:00"}
    answer = desk.post(
        reverse("new_kitchen") + f"?client={client.pk}", {**KITCHEN, "client": client.pk, **window, **hours}
    )
    kitchen = Kitchen.objects.get()
    assert answer.headers["Location"] == reverse("client_page", args=[client.pk])
    assert (kitchen.windows.get().bearing_degrees, kitchen.free_hours.get().until_time.hour) == (225, 15)
    assert "South-west, 225°" in desk.get(reverse("kitchen_page", args=[kitchen.pk])).content.decode()


def test_a_kitchen_with_bad_lines_keeps_all_that_was_typed(desk):
    window = {"windows-TOTAL_FORMS": "1", "windows-0-bearing_degrees": "400"}
    answer = desk.post(reverse("new_kitchen"), {**KITCHEN, "time_zone": "Mars/Base", **window})
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "Mars/Base" in page
    assert 'value="400"' in page
    assert not Kitchen.objects.exists()


def test_a_kitchen_is_edited_archived_and_brought_back(desk):
    kitchen = KitchenFactory()
    assert (
        desk.post(reverse("edit_kitchen", args=[kitchen.pk]), {**KITCHEN, "client": kitchen.client_id}).status_code
        == 302
    )
    desk.post(reverse("archive_kitchen", args=[kitchen.pk]))
    kitchen.refresh_from_db()
    assert kitchen.archived_at
    desk.post(reverse("bring_back_kitchen", args=[kitchen.pk]))
    kitchen.refresh_from_db()
    assert (kitchen.archived_at, kitchen.name) == (None, "Lampwick Lane 4")


def test_lists_search_and_say_when_nobody_fits(desk):
    ClientPersonFactory(person=PersonFactory(name="Ivo Pellander"))
    KitchenFactory(name="Lampwick Lane 4")
    assert "Ivo Pellander" in desk.get(reverse("persons") + "?text=ivo").content.decode()
    assert "Nobody fits" in desk.get(reverse("persons") + "?text=zzz").content.decode()
    assert "Lampwick Lane 4" in desk.get(reverse("kitchens") + "?text=lampwick").content.decode()
    assert "Nobody fits" in desk.get(reverse("clients") + "?text=zzz").content.decode()


def test_the_accountant_reads_clients_but_changes_nothing(accountant, client_for):
    books, client = client_for(accountant), ClientPersonFactory().client
    assert books.get(reverse("clients")).status_code == 200
    page = books.get(reverse("client_page", args=[client.pk])).content.decode()
    assert "Edit client" not in page
    for name in ("edit_client", "archive_client", "add_client_person"):
        assert books.post(reverse(name, args=[client.pk])).status_code == 403
    for name in ("persons", "kitchens", "new_client", "new_kitchen"):
        assert books.get(reverse(name)).status_code == 403
    assert ClientPerson.objects.count() == 1


def test_strangers_are_sent_to_the_log_in(client_for):
    stranger = client_for(None)
    for name in ("clients", "persons", "kitchens", "new_client"):
        assert stranger.get(reverse(name)).status_code == 302
