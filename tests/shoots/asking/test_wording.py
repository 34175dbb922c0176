from dataclasses import replace
from datetime import date

import pytest

from shoots.asking.answers import Answer, Stand, ask, clashes_with, held_already
from shoots.asking.changes import Change, Place
from shoots.asking.wording import LOOKS, WORDS, Names, Rival, change_in_words, changes_in_words, what_they_hold, why
from shoots.licences.availability import FREE, Selling, SellingOn
from shoots.licences.conflicts import claim_of
from shoots.releases.clearance import Subject
from tests.shoots.asking.test_answers import grant, wish

NAMES = Names(
    {"12": "Maro Lantadze"},
    {"7": Rival("L-2026-007", "Oystercatcher Pantry", is_exclusive=True)},
    {"4": ("Walnut Lantern", "Winter menu")},
    "Kvernmoor Mill",
)


def said(stand, held=(), **also):
    asked = wish(**also)
    return why(ask(asked, stand), clashes_with(asked, "1", list(held)), NAMES, shoot="4")


def test_a_rival_is_named_with_what_is_shared_and_until_when():
    held = [grant()]
    first, second = said(Stand((claim_of(held[0]),), FREE, "4"), held)
    assert first.startswith("Oystercatcher Pantry: L-2026-007 holds this use exclusively until 31\u00a0May\u00a02027")
    assert second == "Free as asked from 1\u00a0June\u00a02027." or second.startswith("Free as asked from 1")


def test_a_rival_without_end_is_never_free():
    held = [grant(use_until=None)]
    assert said(Stand((claim_of(held[0]),), FREE, "4"), held)[-1] == "It is never free as asked."


def test_the_shoots_client_is_named():
    never = SellingOn(Selling.NOT_AGREED, commissioned_by="lantern")
    assert said(Stand((), never, "4")) == [
        "Walnut Lantern had Winter menu photographed and has not agreed to a sale to Kvernmoor Mill."
    ]
    later = replace(never, kind=Selling.AFTER, after=date(2027, 1, 31))
    assert said(Stand((), later, "4"))[0].startswith("Walnut Lantern agreed to sales to others from 1")


def test_a_missing_release_is_told_by_name_and_may_pass_for_editorial_use():
    stand = Stand((), FREE, "4", people=(Subject(id="12"),))
    assert said(stand) == ["Maro Lantadze: no release is signed."]
    assert said(stand, classes=frozenset({"editorial"})) == [
        "Maro Lantadze: no release is signed. For editorial use that may pass."
    ]
    assert said(replace(stand, people=None)) == ["Nobody has looked who can be recognised."]


def test_what_the_buyer_holds_is_told_whole_and_in_part():
    held = [grant(licensee="mill", use_until=None)]
    whole, part = wish(), wish(media=frozenset({"web.display", "print.ad"}))
    numbers, lines = {"7": "L-2026-007"}, {"7": "L-2026-007: advertising, website, in Germany, without end"}
    assert what_they_hold(held_already(whole, "1", held), NAMES, numbers, lines) == (
        "Kvernmoor Mill may do this already by licence L-2026-007: advertising, website, in Germany, without end."
    )
    assert what_they_hold(held_already(part, "1", held), NAMES, numbers, lines) == (
        "Kvernmoor Mill holds a part: L-2026-007 (a medium is missing)."
    )
    assert what_they_hold(held_already(whole, "1", []), NAMES, numbers, lines) == ""


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (Change(Place.TERRITORIES, codes=("AT",)), "leave out Germany"),
        (Change(Place.CLASSES, codes=("editorial",)), "leave out advertising"),
        (Change(Place.EXCLUSIVITY), "shut nobody out"),
        (Change(Place.RELEASE, who="12"), "get a release for Maro Lantadze"),
        (Change(Place.COMMISSION, who="4"), "ask Walnut Lantern to allow it for Winter menu"),
    ],
)
def test_a_change_in_words(change, words):
    asked = wish(territories=frozenset({"DE", "AT"}), classes=frozenset({"advertising", "editorial"}))
    assert change_in_words(change, asked, NAMES) == words


def test_days_media_and_a_look_in_words():
    asked = wish(media=frozenset({"web.display", "print.ad"}))
    day = date(2027, 6, 1)
    assert "begin on 1" in change_in_words(Change(Place.FIRST, day=day), asked, NAMES)
    assert "end on 31" in change_in_words(Change(Place.END, day=day), asked, NAMES)
    assert change_in_words(Change(Place.MEDIA, codes=("web.display",)), asked, NAMES).startswith("leave out ")
    assert "recognised" in change_in_words(Change(Place.LOOK), asked, NAMES)


def test_a_set_is_one_sentence():
    changes = (Change(Place.EXCLUSIVITY), Change(Place.RELEASE, who="12"))
    assert changes_in_words(changes, wish(), NAMES) == "Shut nobody out and get a release for Maro Lantadze"


def test_every_answer_has_a_word_and_a_look():
    assert set(LOOKS) == set(WORDS) == set(Answer)
