from django.utils import timezone

from shared.access.actions import invite_person
from shared.access.models import Role
from shared.links.queries import link_path
from tests.factories.shared import UserFactory
from tests.house.pages import Deed, Page


def people_list(rows: int) -> str:
    UserFactory.create_batch(rows, first_name="Ivo Pellander", role=Role.ASSISTANT)
    return "/settings/people/"


def set_first_password(rows: int) -> str:
    _, message = invite_person(
        name="Ivo Pellander", email="ivo@lantern.example", role=Role.ASSISTANT, language="en", at=timezone.now()
    )
    assert message.link is not None
    return link_path(message.link)


def deed(name: str):
    return lambda rows: f"/settings/people/{UserFactory().pk}/{name}/"


PAGES = {
    "sign_in": Page(lambda rows: "/sign-in/", seen_by="stranger"),
    "sign_out": Deed(lambda rows: "/sign-out/"),
    "set_first_password": Page(set_first_password, seen_by="stranger"),
    "change_own_password": Page(lambda rows: "/settings/password/"),
    "people_list": Page(people_list, lists=True),
    "invite_someone": Page(lambda rows: "/settings/people/invite/"),
    "invite_someone_again": Deed(deed("invite")),
    "shut_out": Deed(deed("shut-out")),
    "let_in": Deed(deed("let-in")),
}
