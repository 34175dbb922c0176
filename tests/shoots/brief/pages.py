from datetime import date

from django.urls import reverse

from shoots.brief.models import ShootMove
from tests.factories.clients import ClientFactory, KitchenFactory, PersonFactory
from tests.factories.shoots import AgreedPictureFactory, DishFactory, ShootFactory, ShootPersonFactory
from tests.house.pages import Deed, Page, Panel


def shoot_list(rows: int) -> str:
    for _ in range(rows):
        DishFactory(shoot=ShootFactory())
    return reverse("shoots")


def full_shoot(rows: int) -> int:
    shoot = ShootFactory(state="pencilled", held_until=date(2026, 11, 5))
    for day in range(rows):
        dish = DishFactory(shoot=shoot, allergens=["wheat"], allergens_told_by="Maro Lantadze")
        AgreedPictureFactory(shoot=shoot, dish=dish)
        ShootPersonFactory(shoot=shoot)
        ShootFactory(state="confirmed")
        ShootMove.objects.create(
            shoot=shoot, at=f"2026-10-{day + 1:02}T09:00Z", was="enquiry", became="pencilled", by="Tindra"
        )
    return shoot.pk


def of_client(rows: int) -> str:
    client = ClientFactory()
    for _ in range(rows):
        ShootFactory(client=client)
    return reverse("client_shoots_panel", args=[client.pk])


def of_kitchen(rows: int) -> str:
    kitchen = KitchenFactory()
    for _ in range(rows):
        ShootFactory(kitchen=kitchen)
    return reverse("kitchen_shoots_panel", args=[kitchen.pk])


def of_person(rows: int) -> str:
    person = PersonFactory()
    for _ in range(rows):
        ShootPersonFactory(person=person)
    return reverse("person_shoots_panel", args=[person.pk])


def of_shoot(name: str, **fields):
    return lambda rows: reverse(name, args=[ShootFactory(**fields).pk])


def of_row(name: str, factory):
    return lambda rows: reverse(name, args=[factory().pk])


PAGES = {
    "shoots": Page(shoot_list, lists=True),
    "new_shoot": Page(lambda rows: reverse("new_shoot") + f"?client={ClientFactory().pk}"),
    "shoot_page": Page(lambda rows: reverse("shoot_page", args=[full_shoot(rows)]), lists=True),
    "edit_shoot": Page(of_shoot("edit_shoot")),
    "cancel_shoot": Page(of_shoot("cancel_shoot", state="confirmed")),
    "postpone_shoot": Page(of_shoot("postpone_shoot", state="confirmed")),
    "selling_on": Page(of_shoot("selling_on")),
    "edit_dish": Page(of_row("edit_dish", DishFactory)),
    "edit_agreed_picture": Page(of_row("edit_agreed_picture", AgreedPictureFactory)),
    "edit_part": Page(of_row("edit_part", ShootPersonFactory)),
    "use_preview": Panel(lambda rows: reverse("use_preview")),
    "client_shoots_panel": Panel(of_client, lists=True),
    "kitchen_shoots_panel": Panel(of_kitchen, lists=True),
    "person_shoots_panel": Panel(of_person, lists=True),
    "pencil_shoot": Deed(of_shoot("pencil_shoot")),
    "release_hold": Deed(of_shoot("release_hold")),
    "confirm_shoot": Deed(of_shoot("confirm_shoot")),
    "mark_shot": Deed(of_shoot("mark_shot")),
    "take_back_shot": Deed(of_shoot("take_back_shot")),
    "use_correction_round": Deed(of_shoot("use_correction_round")),
    "add_dish": Deed(of_shoot("add_dish")),
    "want_pictures": Deed(of_shoot("want_pictures")),
    "give_part": Deed(of_shoot("give_part")),
    "move_dish": Deed(of_row("move_dish", DishFactory)),
    "remove_dish": Deed(of_row("remove_dish", DishFactory)),
    "move_agreed_picture": Deed(of_row("move_agreed_picture", AgreedPictureFactory)),
    "leave_out_picture": Deed(of_row("leave_out_picture", AgreedPictureFactory)),
    "take_up_picture": Deed(of_row("take_up_picture", AgreedPictureFactory)),
    "take_part_away": Deed(of_row("take_part_away", ShootPersonFactory)),
}
