from datetime import date

import pytest

from shoots.licences.queries import licence_in_full
from shoots.life import actions, queries
from shoots.life.reach import Reach
from shoots.pictures.models import Picture
from tests.factories.licences import ADVERTISING, ALONE, AT, granted, offered, picture_of

pytestmark = pytest.mark.django_db
TODAY = date(2026, 11, 20)


def held(pictures=None, **also):
    return licence_in_full(granted(pictures or [picture_of()], **also).pk).get()


def test_a_licence_reaches_as_far_as_its_codes_pictures_and_last_day():
    licence = held()
    assert queries.reach_of(licence) == Reach(
        pictures=frozenset({licence.pictures.get().pk}),
        classes=frozenset({"advertising"}),
        media=frozenset({"web.paid_social", "web.display"}),
        territories=frozenset({"DE"}),
        last_day=date(2027, 11, 30),
    )


@pytest.mark.parametrize(
    ("use", "last_day", "names", "is_part"),
    [
        (ADVERTISING, date(2027, 11, 30), (), False),
        ({**ADVERTISING, "use_media": ["web.display"]}, date(2027, 11, 30), ("Use",), True),
        (ADVERTISING, date(2027, 3, 31), ("Last day",), True),
        (ADVERTISING, None, ("Last day",), False),
        (ALONE, date(2027, 11, 30), ("Exclusive",), False),
        ({**ADVERTISING, "use_territories": ["DE", "AT"]}, date(2027, 11, 30), ("Use",), False),
        ({**ADVERTISING, "is_own_promotion": True}, date(2027, 11, 30), ("For",), False),
    ],
)
def test_what_is_wanted_instead_is_compared_line_by_line(use, last_day, names, is_part):
    licence = held()
    changes = queries.changes_of(licence, use, licence.pictures.all(), last_day)
    assert (changes.names, changes.is_part, changes.is_top_up) == (names, is_part, False)
    assert [label for label, _now, _then, differs in changes.rows if differs] == list(names)


def test_more_copies_alone_are_a_top_up():
    counted = {**ADVERTISING, "use_media": ["print.ad"], "use_copies": 500}
    licence = held(use=counted)
    changes = queries.changes_of(licence, {**counted, "use_copies": 900}, licence.pictures.all(), licence.last_day)
    assert (changes.names, changes.is_part, changes.is_top_up) == (("Copies",), False, True)
    fewer = queries.changes_of(licence, {**counted, "use_copies": 90}, licence.pictures.all(), licence.last_day)
    assert (fewer.is_part, fewer.is_top_up) == (False, False)


def test_what_a_change_comes_to_is_said_in_the_words_of_a_licence():
    licence = held()
    said = queries.change_in_sentences(
        licence, ADVERTISING, licence.pictures.all(), date(2027, 3, 31), date(2027, 1, 5)
    )
    assert "Kvernmoor Mill" in said[0]
    assert said[1:] == ["On 1 picture."]


def test_a_change_may_reach_the_other_pictures_of_its_shoots_but_those_left_out():
    picture = picture_of()
    other, left = picture_of(picture.shoot), picture_of(picture.shoot, state=Picture.State.LEFT)
    elsewhere = picture_of()
    licence = held([other])
    assert list(queries.pictures_to_change_to(licence)) == [other, picture]
    Picture.objects.filter(pk=other.pk).update(state=Picture.State.LEFT)
    assert list(queries.pictures_to_change_to(licence)) == [other, picture]
    assert {left, elsewhere}.isdisjoint(queries.pictures_to_change_to(licence))


def test_declining_an_offer_that_takes_no_place_says_nothing_more():
    assert queries.after_declining(actions.decline_licence(offered(), at=AT)) == ""


@pytest.mark.parametrize(("months", "alone"), [(12, 6), (6, 6), (3, None), (None, 6)])
def test_a_use_goes_on_exclusive_for_as_long_as_before_where_that_is_no_longer(months, alone):
    licence = held(use={**ALONE, "exclusive_months": 6})
    assert queries.renewed_use(licence, months) == {**ALONE, "use_months": months, "exclusive_months": alone}
