import threading
import uuid
from typing import Any

import pytest
from django.contrib.auth.models import AnonymousUser
from django.db import connection
from django.http import HttpResponse, HttpResponseRedirect
from django.test import RequestFactory

from shared.access.models import Submission
from shared.access.once import once
from shared.errors import Refusal
from shared.numbers.actions import take_count
from tests.factories.shared import UserFactory

pytestmark = [pytest.mark.both, pytest.mark.django_db]


def press(view: Any, key: object, user: Any = None) -> Any:
    request = RequestFactory().post("/estimates/new/", {"once": str(key)})
    request.user = user or AnonymousUser()
    request._messages = type("Notes", (list,), {"add": lambda self, *words: self.append(words)})()
    return view(request)


@once
def make(request: Any) -> HttpResponse:
    return HttpResponseRedirect(f"/estimates/{take_count('test', year=2026)}/")


def test_a_second_press_gets_the_first_answer_and_makes_nothing() -> None:
    key, tindra = uuid.uuid4(), UserFactory()
    assert press(make, key, tindra)["Location"] == "/estimates/1/"
    assert press(make, key, tindra)["Location"] == "/estimates/1/"
    assert press(make, uuid.uuid4(), tindra)["Location"] == "/estimates/2/"


def test_somebody_elses_key_shows_nothing_of_their_answer() -> None:
    key = uuid.uuid4()
    press(make, key, UserFactory())
    assert press(make, key, UserFactory())["Location"] == "/estimates/new/"


def test_a_form_that_comes_back_with_its_mistakes_can_be_sent_again() -> None:
    answers = [HttpResponse("a field is missing", status=422), HttpResponseRedirect("/estimates/7/")]
    view, key = once(lambda request: answers.pop(0)), uuid.uuid4()
    assert press(view, key).status_code == 422
    assert press(view, key)["Location"] == "/estimates/7/"


def test_what_a_refused_press_wrote_is_undone_and_its_key_is_free() -> None:
    def refuse(request: Any) -> HttpResponse:
        take_count("test", year=2026)
        raise Refusal("It happened.")

    key = uuid.uuid4()
    with pytest.raises(Refusal):
        press(once(refuse), key)
    assert not Submission.objects.exists()
    assert press(make, key)["Location"] == "/estimates/1/"


def test_a_form_without_a_key_is_simply_sent() -> None:
    assert press(make, "")["Location"] == "/estimates/1/"
    assert press(make, "no key")["Location"] == "/estimates/2/"


@pytest.mark.django_db(transaction=True)
def test_two_presses_in_the_same_moment_make_one_thing() -> None:
    key, tindra, answers = uuid.uuid4(), UserFactory(), []

    def hand() -> None:
        try:
            answers.append(press(make, key, tindra)["Location"])
        finally:
            connection.close()

    hands = [threading.Thread(target=hand) for _ in range(4)]
    [each.start() for each in hands]
    [each.join() for each in hands]
    assert answers == ["/estimates/1/"] * 4
