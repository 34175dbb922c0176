from datetime import timedelta

import pytest
from django.contrib.auth.models import AnonymousUser
from django.http import HttpResponse
from django.test import RequestFactory

from shared.access.doors import BOOKS, EVERYONE, NOBODY, OWNER, STUDIO, Door, door, link_door, open_door
from shared.links.actions import make_link
from shared.links.queries import LinkUnknown, link_token
from tests.factories.shared import EARLY, UserFactory


def test_each_set_of_roles_lets_in_whom_it_names() -> None:
    named = {"owner": OWNER, "studio": STUDIO, "books": BOOKS, "everyone": EVERYONE, "nobody": NOBODY}
    lets_in = {
        name: {role for role in ("owner", "assistant", "accountant") if Door("role", reads=roles).lets_in(role, "GET")}
        for name, roles in named.items()
    }
    assert lets_in == {
        "owner": {"owner"},
        "studio": {"owner", "assistant"},
        "books": {"owner", "accountant"},
        "everyone": {"owner", "assistant", "accountant"},
        "nobody": set(),
    }


def test_reading_does_not_open_a_form() -> None:
    found = Door("role", reads=EVERYONE, writes=OWNER)
    assert found.lets_in("accountant", "HEAD")
    assert not found.lets_in("accountant", "POST")
    assert found.lets_in("owner", "DELETE")


def test_a_view_says_its_door() -> None:
    def page(request: object) -> HttpResponse:
        return HttpResponse()

    assert door(reads=STUDIO)(page).door == Door("role", reads=STUDIO, writes=NOBODY)  # type: ignore[attr-defined]
    assert open_door(page).door.kind == "open"  # type: ignore[attr-defined]


@pytest.mark.django_db
def test_a_private_link_brings_its_row_and_only_a_strangers_opening_counts() -> None:
    @link_door("test_only")
    def page(request: object, token: str) -> HttpResponse:
        return HttpResponse(request.link.subject)  # type: ignore[attr-defined]

    from django.utils import timezone

    link = make_link("test_only", subject="estimate:12", expires_at=timezone.now() + timedelta(days=1), at=EARLY)
    request = RequestFactory().get("/")
    request.user = AnonymousUser()
    assert page(request, token=link_token(link)).content == b"estimate:12"
    request.user = UserFactory()
    page(request, token=link_token(link))
    link.refresh_from_db()
    assert link.times_opened == 1
    with pytest.raises(LinkUnknown):
        page(request, token="guessed")
