"""The frame of every page: which places a person is shown, and which books are open."""

import pytest
from django.contrib.auth.models import AnonymousUser
from django.test import RequestFactory

from studio.context import house

pytestmark = pytest.mark.django_db


def frame_for(person, path="/"):
    request = RequestFactory().get(path)
    request.user = person
    return house(request)


def places_of(person):
    return [place["label"] for place in frame_for(person)["places"]]


def test_the_owner_sees_all_places_and_the_accountant_no_shoots(owner, accountant):
    assert places_of(owner) == ["Today", "Shoots", "Clients", "Pictures", "Money"]
    assert places_of(accountant) == ["Today", "Clients", "Money"]


def test_the_assistant_sees_estimates_and_no_money(assistant):
    assert places_of(assistant) == ["Today", "Shoots", "Clients", "Pictures", "Estimates"]


def test_a_stranger_sees_no_places():
    assert frame_for(AnonymousUser())["places"] == []


def test_the_place_one_stands_in_is_marked(owner):
    marked = [place["label"] for place in frame_for(owner, "/kitchens/4/")["places"] if place["is_current"]]
    assert marked == ["Clients"]


def test_the_bar_says_which_books_are_open(owner, settings):
    settings.BOOKS = "demo"
    assert frame_for(owner)["books_bar"] == "Demo books. Nothing here is real."
    settings.BOOKS = "own"
    assert frame_for(owner)["books_bar"] == "Your own books."
