from datetime import date

import pytest

from shoots.asking import queries
from shoots.asking.answers import Asked
from shoots.asking.changes import Change, Place
from shoots.uses.days import Length
from tests.factories import licences as make

pytestmark = pytest.mark.django_db

USE = {**make.ADVERTISING, "use_territories": ["DE", "AT"]}


def question(client=None, **also):
    chosen = {
        "licensee": str(client.pk) if client else "", "trade": None, "classes": frozenset(USE["use_classes"]), "media": frozenset(USE["use_media"]),
        "territories": frozenset(USE["use_territories"]), "first": make.FIRST, "length": Length(months=12),
    }  # fmt: skip
    return queries.Question(Asked(**{**chosen, **also}), USE, client, "", has_last_day=False)


def answered(pictures, **also):
    picked = queries.pictures_asked([each.pk for each in pictures])
    return queries.answers_to(question(**also), picked)


def test_shoots_without_pictures_are_not_offered():
    shoot = make.free_shoot()
    assert not queries.shoots_to_choose().exists()
    make.picture_of(shoot)
    assert list(queries.shoots_to_choose()) == [shoot]


def test_an_offer_or_a_declined_licence_stands_in_nobodys_way():
    picture = make.picture_of()
    make.offered([picture], use=make.ALONE)
    assert answered([picture])["rows"][0].answer == "yes"


def test_what_the_buyer_holds_is_no_rival_and_is_told():
    picture = make.picture_of()
    licence = make.granted([picture], use=make.ALONE)
    (row,) = answered([picture], client=licence.licensee)["rows"]
    assert row.answer == "yes"
    assert licence.number in row.held


def test_an_exclusive_licence_that_is_not_placed_yet_stands_in_the_way_for_ever():
    shoot = make.free_shoot()
    make.agreed(shoot, terms=make.ALONE)
    (row,) = answered([make.picture_of(shoot)])["rows"]
    assert row.answer == "no"


def test_the_address_of_a_change_carries_the_change_and_what_is_supposed():
    picture = make.picture_of()
    asked = question()
    pairs = asked.pairs([picture.pk], (Change(Place.FIRST, day=date(2027, 5, 1)), Change(Place.RELEASE, who="3")))
    assert ("first_day", "2027-05-01") in pairs
    assert ("last_day", "") in pairs
    assert ("suppose", "release:3") in pairs
    assert ("last_day", "2027-01-31") in asked.pairs([picture.pk], (Change(Place.END, day=date(2027, 2, 1)),))
    assert asked.link([picture.pk]).startswith("/pictures/can-i-sell/?pictures=")


def test_the_question_in_words_has_its_days():
    words = question().sentence()
    assert words.startswith("Advertising by somebody not known yet")
    assert "2026" in words
    assert "delivery" not in words


def test_a_licence_is_offered_by_shoot_for_what_is_a_yes():
    one, two = make.picture_of(), make.picture_of()
    make.granted([two], use=make.ALONE)
    rows = answered([one, two])["rows"]
    assert queries.grants_offered(question(), rows) == [{"shoot": one.shoot, "count": 1}]
    table = queries.table_rows(rows)
    assert {len(row) for row in table} == {len(queries.TABLE_COLUMNS)}
