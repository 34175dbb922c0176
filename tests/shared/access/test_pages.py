from typing import Any

import pytest
from django.contrib.auth.models import AnonymousUser
from django.test import RequestFactory

from shared.access.doors import Door
from shared.access.pages import sentences_page
from shared.errors import Refusal
from tests.factories.shared import UserFactory

pytestmark = pytest.mark.django_db


def asked_by(user: Any, door: Door | None = None) -> str:
    request = RequestFactory().get("/somewhere/")
    request.user, request.door, request._messages = user, door, []  # type: ignore[attr-defined]
    return sentences_page(request, Refusal("It happened.")).content.decode()


def test_a_stranger_and_a_client_see_the_sentences_without_the_frame_of_the_books() -> None:
    assert "Sign out" not in asked_by(AnonymousUser())
    assert "Sign out" not in asked_by(UserFactory(), Door("link", purpose="estimate"))
    assert "Sign out" in asked_by(UserFactory())
