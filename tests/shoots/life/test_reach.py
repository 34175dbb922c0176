from dataclasses import replace
from datetime import date

import pytest

from shoots.life.reach import Reach
from shoots.uses.trees import UnknownCode

HELD = Reach(
    pictures=frozenset({1, 2}),
    classes=frozenset({"advertising"}),
    media=frozenset({"web.own", "web.social"}),
    territories=frozenset({"DE", "AT"}),
    last_day=date(2027, 11, 30),
)


@pytest.mark.parametrize(
    ("other", "nouns"),
    [
        ({}, ()),
        ({"pictures": frozenset({1})}, ()),
        ({"media": frozenset({"web.own"}), "territories": frozenset({"AT"})}, ()),
        ({"last_day": date(2027, 11, 29)}, ()),
        ({"pictures": frozenset({1, 3})}, ("a picture",)),
        ({"classes": frozenset({"editorial"})}, ("a class of use",)),
        ({"media": frozenset({"web.own", "print.ad"})}, ("a medium",)),
        ({"territories": frozenset({"europe"})}, ("a territory",)),
        ({"last_day": None}, ("days",)),
        ({"last_day": date(2027, 12, 1), "pictures": frozenset({3})}, ("a picture", "days")),
    ],
)
def test_a_reach_falls_short_of_what_is_wider_and_says_in_what(other, nouns):
    assert HELD.falls_short_of(replace(HELD, **other)) == nouns


def test_without_end_nothing_is_too_long():
    endless = replace(HELD, last_day=None)
    assert endless.falls_short_of(HELD) == ()
    assert not endless.is_as(HELD)


def test_the_same_leaves_are_the_same_reach_by_whatever_codes():
    whole = replace(HELD, territories=frozenset({"world"}))
    assert whole.is_as(replace(HELD, territories=frozenset({"world", "DE"})))
    assert not whole.is_as(HELD)
    assert not HELD.is_as(whole)


def test_an_unknown_code_reaches_nowhere():
    with pytest.raises(UnknownCode):
        HELD.falls_short_of(replace(HELD, media=frozenset({"carrier.pigeon"})))
