from datetime import date

import pytest
from django.http import QueryDict

from shoots.asking import queries
from shoots.asking.forms import AnswerFilter, AskForm
from shoots.uses.days import Length
from tests.factories import licences as make
from tests.shoots.asking.pages import QUESTION

pytestmark = pytest.mark.django_db


def form(handed_in=(), **also):
    query = QueryDict(mutable=True)
    for name, value in QUESTION:
        if name not in also:
            query.appendlist(name, value)
    for name, value in also.items():
        query[name] = value
    return AskForm(query, handed_in=[str(each) for each in handed_in], use_on=date(2026, 11, 26))


def mistakes(found):
    assert not found.is_valid()
    return " ".join(sentence for sentences in found.errors.values() for sentence in sentences)


def test_pictures_come_by_key_by_shoot_and_by_search_and_the_left_ones_are_left():
    shoot = make.free_shoot()
    one, two = make.picture_of(shoot, title="Blini"), make.picture_of(shoot)
    make.picture_of(shoot, state="left")
    for found, pictures in (
        (form([one.pk]), [one]),
        (form(shoot=shoot.pk), [one, two]),
        (form(text="blini"), [one]),
        (form([two.pk], text="blini"), [one, two]),
    ):
        assert found.is_valid(), found.errors
        assert found.pictures == pictures


def test_a_typed_last_day_counts_before_months_and_a_client_brings_its_trade():
    picture, client = make.picture_of(), make.kvernmoor()
    found = form([picture.pk], client=client.pk, last_day="2027-01-31")
    assert found.is_valid(), found.errors
    assert (found.asked.length, found.asked.until) == (Length(days=62), date(2027, 2, 1))
    assert (found.asked.licensee, found.asked.trade) == (str(client.pk), "bakery")
    assert form([picture.pk], trade="grocer").is_valid()


@pytest.mark.parametrize(
    ("also", "words"),
    [
        ({}, "No picture is picked"),
        ({"text": "nothing like it"}, "No picture fits this search"),
        ({"text": "Bread", "last_day": "2026-11-01"}, "The last day lies before the first"),
        ({"text": "Bread", "last_day": "9999-12-31"}, "The calendar ends on that day"),
        ({"text": "Bread", "first_day": "9999-06-01"}, "after the year 9999"),
        ({"text": "Bread", "use_more_media": "web.nowhere"}, "no longer offered"),
        ({"text": "Bread", "use_places": ""}, "Choose"),
    ],
)
def test_a_question_that_cannot_be_asked_says_why(also, words):
    make.picture_of()
    assert words in mistakes(form(**also))


def test_unknown_keys_and_too_many_are_told():
    picture = make.picture_of()
    assert "not in the books" in mistakes(form([picture.pk, picture.pk + 1]))
    assert "2 pictures handed in are not in the books" in mistakes(form([picture.pk + 1, picture.pk + 2]))
    assert "501 pictures are too many" in mistakes(form(range(1, queries.MOST + 2)))
    assert "names no picture" in mistakes(form(["x"]))


def test_a_search_that_finds_too_many_is_told(monkeypatch):
    shoot = make.free_shoot()
    for _ in range(3):
        make.picture_of(shoot)
    monkeypatch.setattr(queries, "MOST", 2)
    assert "More than 2 pictures are too many" in mistakes(form(shoot=shoot.pk))


def test_a_use_without_end_is_asked_on_a_far_day():
    found = form([make.picture_of().pk], use_months="endless", first_day="9999-12-31")
    assert found.is_valid(), found.errors
    assert found.asked.until is None


def test_only_answers_filter():
    assert AnswerFilter({"answer": "no"}).is_valid()
    assert not AnswerFilter({"answer": "perhaps"}).is_valid()
