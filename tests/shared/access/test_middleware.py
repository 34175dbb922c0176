import errno
from datetime import UTC, datetime
from typing import Any

import pytest
from django.contrib.auth.models import AnonymousUser
from django.core.exceptions import RequestDataTooBig
from django.db import OperationalError
from django.http import HttpResponse
from django.test import Client, RequestFactory
from django.utils import timezone

from shared.access.doors import OWNER, door
from shared.access.middleware import LARGEST_REQUEST, Doors, ProfileOnce, RefusalPages, SizeOfRequest
from shared.errors import Refusal
from tests.factories.shared import BusinessProfileFactory, UserFactory

pytestmark = pytest.mark.django_db


def request_by(user: Any, path: str = "/somewhere/", method: str = "GET", **headers: str) -> Any:
    request = RequestFactory(headers=headers).generic(method, path)
    request.user = user
    request._messages = []
    return request


def no_answer(request: Any) -> HttpResponse:
    return HttpResponse("inside")


@door(reads=OWNER)
def books(request: Any) -> HttpResponse:
    return HttpResponse("inside")


def test_a_page_without_a_door_opens_to_nobody() -> None:
    answer = Doors(no_answer).process_view(request_by(UserFactory()), no_answer, (), {})
    assert answer is not None
    assert answer.status_code == 403
    assert b"not open to anybody yet" in answer.content


def test_a_stranger_is_led_to_the_sign_in_page_and_back() -> None:
    answer = Doors(no_answer).process_view(request_by(AnonymousUser(), "/invoices/?late=1"), books, (), {})
    assert answer is not None
    assert answer["Location"] == "/sign-in/?next=/invoices/%3Flate%3D1"


def test_a_role_that_may_not_is_told_in_a_sentence() -> None:
    answer = Doors(no_answer).process_view(request_by(UserFactory(role="accountant")), books, (), {})
    assert answer is not None
    assert answer.status_code == 403
    assert b"You are signed in as accountant." in answer.content
    assert Doors(no_answer).process_view(request_by(UserFactory()), books, (), {}) is None


def test_signed_in_pages_stay_in_no_cache(client_for: Any) -> None:
    answer = client_for(UserFactory()).get("/settings/")
    assert answer["Cache-Control"] == "no-store"


def test_a_refusal_is_a_page_with_its_three_sentences() -> None:
    answer = RefusalPages(no_answer).process_exception(
        request_by(UserFactory()), Refusal("It happened.", "All is kept.", "Do this.")
    )
    assert answer is not None
    assert answer.status_code == 409
    for sentence in (b"It happened.", b"All is kept.", b"Do this."):
        assert sentence in answer.content


def test_a_refusal_reaches_a_panel_and_an_upload_in_their_own_way() -> None:
    refusal = Refusal("It happened.")
    panel = RefusalPages(no_answer).process_exception(request_by(UserFactory(), **{"HX-Request": "true"}), refusal)
    assert panel is not None
    assert panel.status_code == 422
    assert b"<html" not in panel.content
    assert b"It happened." in panel.content
    upload = RefusalPages(no_answer).process_exception(request_by(UserFactory(), Accept="application/json"), refusal)
    assert upload is not None
    assert upload.status_code == 409
    assert upload.content == b'{"say": "It happened. Nothing was changed."}'


@pytest.mark.parametrize(
    "problem", [OSError(errno.ENOSPC, "No space left"), OperationalError("database or disk is full")]
)
def test_a_full_disk_is_said_on_the_page(problem: Exception) -> None:
    answer = RefusalPages(no_answer).process_exception(request_by(UserFactory()), problem)
    assert answer is not None
    assert answer.status_code == 507
    assert b"The disk is full." in answer.content


def test_books_that_are_locked_for_long_say_that_they_are_busy() -> None:
    answer = RefusalPages(no_answer).process_exception(
        request_by(UserFactory()), OperationalError("database is locked")
    )
    assert answer is not None
    assert answer.status_code == 503
    assert b"Wait a minute" in answer.content


def test_other_mistakes_are_left_to_the_page_for_mistakes() -> None:
    assert RefusalPages(no_answer).process_exception(request_by(UserFactory()), OSError(errno.EACCES, "no")) is None
    answer = RefusalPages(no_answer).process_exception(request_by(UserFactory()), RequestDataTooBig())
    assert answer is not None
    assert answer.status_code == 413


def test_too_large_a_request_is_refused_before_it_is_read() -> None:
    request = request_by(AnonymousUser(), method="POST")
    request.META["CONTENT_LENGTH"] = str(LARGEST_REQUEST + 1)
    answer = SizeOfRequest(no_answer)(request)
    assert answer.status_code == 413
    assert b"smaller parts" in answer.content
    request.META["CONTENT_LENGTH"] = str(LARGEST_REQUEST)
    assert SizeOfRequest(no_answer)(request).content == b"inside"


def test_a_form_that_is_too_long_gets_a_sentence_and_no_bare_400() -> None:
    client = Client(enforce_csrf_checks=True)
    client.get("/sign-in/")  # brings the cookie without which the form would be refused first
    answer = client.post(
        "/sign-in/", "name=" + "x" * (6 * 1024 * 1024), content_type="application/x-www-form-urlencoded"
    )
    assert answer.status_code == 413
    assert b"More was sent at once" in answer.content


@door(reads=frozenset(), writes=OWNER)
def press(request: Any) -> HttpResponse:
    return HttpResponse("done")


def test_the_address_of_a_button_opened_like_a_page_says_so() -> None:
    answer = Doors(no_answer).process_view(request_by(UserFactory(role="owner")), press, (), {})
    assert answer is not None
    assert answer.status_code == 405
    assert b"only takes a press of a button" in answer.content


def test_a_part_of_a_page_that_finds_nobody_signed_in_shows_the_whole_sign_in_page() -> None:
    request = request_by(AnonymousUser(), "/clients/1/people/", "POST", **{"HX-Request": "true"})
    answer = Doors(no_answer).process_view(request, books, (), {})
    assert answer is not None
    assert (answer.status_code, answer["HX-Retarget"]) == (422, "body")


def test_pages_show_moments_by_the_clock_of_the_business(client_for: Any) -> None:
    BusinessProfileFactory(time_zone="Asia/Kolkata")
    seen = []

    def look(request: Any) -> HttpResponse:
        seen.append(timezone.localtime(datetime(2026, 11, 26, 14, 5, tzinfo=UTC)))
        return HttpResponse("inside")

    ProfileOnce(look)(request_by(AnonymousUser()))
    assert f"{seen[0]:%H:%M}" == "19:35"
    assert timezone.get_current_timezone_name() == "UTC"


def test_what_shows_no_moment_asks_for_no_clock(django_assert_num_queries: Any) -> None:
    BusinessProfileFactory(time_zone="Asia/Kolkata")
    with django_assert_num_queries(0):
        ProfileOnce(no_answer)(request_by(AnonymousUser()))
