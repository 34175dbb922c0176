from django.urls import reverse

from clients.models import KitchenHours, KitchenWindow
from tests.factories.clients import ClientFactory, ClientPersonFactory, KitchenFactory, PersonFactory
from tests.house.pages import Deed, Page


def client_list(rows: int) -> str:
    for _ in range(rows):
        ClientPersonFactory(client=ClientFactory())
    return reverse("clients")


def full_client(rows: int) -> int:
    client = ClientFactory()
    for _ in range(rows):
        ClientPersonFactory(client=client)
        KitchenFactory(client=client, key_holder=PersonFactory())
    return client.pk


def full_person(rows: int) -> int:
    person = PersonFactory()
    for _ in range(rows):
        ClientPersonFactory(person=person)
        KitchenFactory(key_holder=person)
    return person.pk


def full_kitchen(rows: int) -> int:
    kitchen = KitchenFactory(key_holder=PersonFactory())
    for day in range(rows):
        KitchenWindow.objects.create(kitchen=kitchen, bearing_degrees=day * 90, width_cm=120, height_cm=150)
        KitchenHours.objects.create(kitchen=kitchen, weekday=day, from_time="09:00", until_time="15:00")
    return kitchen.pk


def person_list(rows: int) -> str:
    for _ in range(rows):
        ClientPersonFactory()
    return reverse("persons")


def kitchen_list(rows: int) -> str:
    for _ in range(rows):
        full_kitchen(2)
    return reverse("kitchens")


PAGES = {
    "clients": Page(client_list, lists=True),
    "new_client": Page(lambda rows: reverse("new_client")),
    "client_page": Page(lambda rows: reverse("client_page", args=[full_client(rows)]), lists=True),
    "edit_client": Page(lambda rows: reverse("edit_client", args=[full_client(rows)])),
    "archive_client": Deed(lambda rows: reverse("archive_client", args=[ClientFactory().pk])),
    "bring_back_client": Deed(lambda rows: reverse("bring_back_client", args=[ClientFactory().pk])),
    "add_client_person": Deed(lambda rows: reverse("add_client_person", args=[ClientFactory().pk])),
    "leave_client": Deed(lambda rows: reverse("leave_client", args=[ClientFactory().pk, PersonFactory().pk])),
    "persons": Page(person_list, lists=True),
    "new_person": Page(lambda rows: reverse("new_person")),
    "person_page": Page(lambda rows: reverse("person_page", args=[full_person(rows)]), lists=True),
    "edit_person": Page(lambda rows: reverse("edit_person", args=[full_person(rows)])),
    "kitchens": Page(kitchen_list, lists=True),
    "new_kitchen": Page(lambda rows: reverse("new_kitchen") + f"?client={ClientFactory().pk}"),
    "kitchen_page": Page(lambda rows: reverse("kitchen_page", args=[full_kitchen(rows)]), lists=True),
    "edit_kitchen": Page(lambda rows: reverse("edit_kitchen", args=[full_kitchen(rows)])),
    "archive_kitchen": Deed(lambda rows: reverse("archive_kitchen", args=[KitchenFactory().pk])),
    "bring_back_kitchen": Deed(lambda rows: reverse("bring_back_kitchen", args=[KitchenFactory().pk])),
}
