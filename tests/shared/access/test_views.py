from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from shared.access.actions import invite_person, shut_out_person
from shared.access.models import Role, User
from shared.links.actions import call_back_link
from shared.links.queries import link_path
from shared.outbox.models import Message

pytestmark = pytest.mark.django_db


def words(answer: Any) -> str:
    return " ".join(answer.content.decode().replace("&nbsp;", " ").split())


def test_one_signs_in_and_lands_where_one_was_going(owner: Any) -> None:
    client = Client()
    asked = client.get("/settings/people/")
    assert asked.status_code == 302
    assert asked["Location"] == "/sign-in/?next=/settings/people/"
    answer = client.post("/sign-in/", {"name": owner.email, "password": "owner-pass-2026", "next": "/settings/people/"})
    assert answer["Location"] == "/settings/people/"
    assert client.get("/settings/people/").status_code == 200
    client.post("/sign-out/")
    assert client.get("/settings/people/").status_code == 302


def test_a_wrong_password_says_so_and_keeps_the_name(owner: Any) -> None:
    answer = Client().post("/sign-in/", {"name": owner.email, "password": "a guess"})
    assert answer.status_code == 422
    assert "do not fit together" in words(answer)
    assert owner.email in words(answer)


def test_nobody_is_led_to_another_house_after_signing_in(owner: Any) -> None:
    answer = Client().post(
        "/sign-in/", {"name": owner.email, "password": "owner-pass-2026", "next": "https://evil.example/"}
    )
    assert answer["Location"] == "/"


def test_books_without_an_owner_say_where_to_begin() -> None:
    assert "no owner yet" in words(Client().get("/sign-in/"))


def test_a_form_from_before_the_sign_in_gets_a_page_that_says_what_to_do(owner: Any) -> None:
    answer = Client(enforce_csrf_checks=True).post("/sign-in/", {"name": "x", "password": "y"})
    assert answer.status_code == 403
    assert "This form is out of date" in words(answer)
    assert "most browsers still show what you typed" in words(answer)


def test_an_address_without_a_page_is_said(client_for: Any, owner: Any) -> None:
    answer = client_for(owner).get("/no-such-page/")
    assert answer.status_code == 404
    assert "no page at this address" in words(answer)


def test_an_owner_invites_somebody_and_a_double_press_sends_one_message(client_for: Any, owner: Any) -> None:
    client = client_for(owner)
    typed = {
        "name": "Ivo Pellander",
        "email": "ivo@lantern.example",
        "role": "assistant",
        "once": "9b2f7f5e-6d3e-4df0-9f0e-0f3a1c1b2a3d",
    }
    for _ in range(2):
        assert client.post(reverse("invite_someone"), typed)["Location"] == reverse("people_list")
    assert Message.objects.count() == 1
    assert "Invited" in words(client.get(reverse("people_list")))


def test_an_invited_person_sets_a_password_once(client_for: Any, owner: Any) -> None:
    _, message = invite_person(
        name="Ivo", email="ivo@lantern.example", role=Role.ASSISTANT, language="en", at=timezone.now()
    )
    assert message.link is not None
    path, stranger = link_path(message.link), Client()
    page = stranger.get(path)
    assert page.status_code == 200
    assert page["Referrer-Policy"] == "same-origin"
    assert page["Cache-Control"] == "no-store"
    assert stranger.post(path, {"password": "short"}).status_code == 422
    assert stranger.post(path, {"password": "walnut oil and smoke"}).status_code == 302
    assert stranger.get("/settings/").status_code == 200
    again = Client().get(path)
    assert again.status_code == 410
    assert "This link was used" in words(again)
    assert stranger.get(reverse("people_list")).status_code == 403


def test_a_link_that_was_called_back_or_is_unknown_is_said_plainly(owner: Any) -> None:
    _, message = invite_person(
        name="Ivo", email="ivo@lantern.example", role=Role.ASSISTANT, language="en", at=timezone.now()
    )
    assert message.link is not None
    path = link_path(message.link)
    call_back_link(message.link, timezone.now())
    answer = Client().get(path)
    assert answer.status_code == 410
    assert "called back by the studio" in words(answer)
    unknown = Client().get("/invited/guessed/")
    assert unknown.status_code == 404
    assert "We do not know this link" in words(unknown)
    assert unknown["Referrer-Policy"] == "same-origin"


def test_a_person_shut_out_is_out_at_once(client_for: Any, owner: Any, assistant: Any) -> None:
    at_work = client_for(assistant)
    assert at_work.get("/settings/").status_code == 200
    client = client_for(owner)
    client.post(reverse("shut_out", args=[assistant.pk]))
    assert at_work.get("/settings/").status_code == 302
    assert "Shut out" in words(client.get(reverse("people_list")))
    client.post(reverse("let_in", args=[assistant.pk]))
    assert User.objects.get(pk=assistant.pk).is_active
    shut_out_person(assistant, by=owner, at=timezone.now())
    answer = client.post(reverse("shut_out", args=[owner.pk]))
    assert answer.status_code == 409
    assert "cannot shut yourself out" in words(answer)


def test_a_new_link_is_sent_from_the_list(client_for: Any, owner: Any, assistant: Any) -> None:
    client_for(owner).post(reverse("invite_someone_again", args=[assistant.pk]))
    assert Message.objects.get().to == assistant.email


def test_everybody_changes_their_own_password_and_stays_signed_in(client_for: Any, accountant: Any) -> None:
    client = client_for(accountant)
    wrong = client.post(reverse("change_own_password"), {"old": "a guess", "password": "walnut oil and smoke"})
    assert wrong.status_code == 422
    assert "old password is wrong" in words(wrong)
    assert (
        client.post(
            reverse("change_own_password"), {"old": "accountant-pass-2026", "password": "walnut oil and smoke"}
        ).status_code
        == 302
    )
    assert client.get("/settings/").status_code == 200


def test_who_is_signed_out_in_the_middle_of_a_form_signs_in_and_saves_what_was_typed(owner: Any) -> None:
    client = Client()
    typed = {"name": "Walnut Lantern", "city": "Lindhafen", "kind": "restaurant", "language": "en"}
    answer = client.post("/clients/new/", typed)
    assert answer.status_code == 401
    assert "You were signed out before this was saved" in words(answer)
    carried = {f"kept:{name}": value for name, value in typed.items()} | {"kept_for": "/clients/new/"}
    for name, value in carried.items():
        assert f'name="{name}" value="{value}"' in answer.content.decode()
    wrong = client.post("/sign-in/", carried | {"name": owner.email, "password": "a guess"})
    assert wrong.status_code == 422
    assert 'name="kept:city" value="Lindhafen"' in wrong.content.decode()
    again = client.post("/sign-in/", carried | {"name": owner.email, "password": "owner-pass-2026"})
    assert again.status_code == 200
    assert 'action="/clients/new/"' in again.content.decode()
    assert 'name="city" value="Lindhafen"' in again.content.decode()
    assert client.post("/clients/new/", typed).status_code == 302


def test_a_form_is_carried_to_no_other_house(owner: Any) -> None:
    typed = {"name": owner.email, "password": "owner-pass-2026", "kept_for": "https://elsewhere.example/take"}
    assert Client().post("/sign-in/", typed)["Location"] == "/"
