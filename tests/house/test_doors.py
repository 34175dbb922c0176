"""Every page has a door, and each door is shut to whom it is not theirs."""

import pytest
from django.conf import settings
from django.urls import resolve, reverse

from tests.house import pages

ROLES = ("owner", "assistant", "accountant")


def test_every_page_says_who_may_open_it():
    assert sorted(str(entry.name) for entry in pages.patterns() if not getattr(entry.callback, "door", None)) == []


@pytest.mark.parametrize("name", sorted(pages.table()))
@pytest.mark.django_db
def test_a_door_opens_to_its_own_people_only(name, owner, assistant, accountant, client_for):
    row = pages.table()[name]
    path = row.path(1)
    door = resolve(path.split("?")[0]).func.door
    if door.kind == "open":
        return
    if door.kind == "link":
        assert_a_changed_link_opens_nothing(path, client_for(None))
        return
    for person in (owner, assistant, accountant):
        for method in ("get", "post"):
            if not door.lets_in(person.role, method.upper()):
                answer = getattr(client_for(person), method)(path)
                only_a_press = method == "get" and not door.reads and person.role in door.writes
                assert answer.status_code == (405 if only_a_press else 403), f"{person.role} may {method} {path}"
    answer = client_for(None).get(path)
    assert answer.status_code == 302, f"a stranger may get {path}"
    assert answer["Location"].startswith(reverse(settings.LOGIN_URL))
    answer = client_for(None).post(path)
    assert answer.status_code == 401, f"a stranger may post {path}"
    assert "You were signed out before this was saved" in answer.content.decode()


def assert_a_changed_link_opens_nothing(path, stranger):
    token = resolve(path.split("?")[0]).kwargs["token"]
    answer = stranger.get(path.replace(token, ("B" if token[0] == "A" else "A") + token[1:]))
    assert answer.status_code in (404, 410), f"{path} opens without its token"
