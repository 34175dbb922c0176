from datetime import date, time

import pytest

from shared.words.formats import plain_spaces
from shoots.brief.wording import clash_in_words, place_in_words, selling_on_in_words, when_in_words

DAY = date(2026, 11, 14)


@pytest.mark.parametrize(
    ("facts", "sentence"),
    [
        ((None, None, time(9), None), "No day yet"),
        ((DAY, None, None, None), "Saturday 14 November 2026"),
        ((DAY, DAY, time(9), time(15)), "Saturday 14 November 2026, 09:00 to 15:00"),
        ((DAY, date(2026, 11, 15), time(9), None), "Saturday 14 November 2026 to Sunday 15 November 2026, from 09:00"),
    ],
)
def test_when_a_shoot_is(facts, sentence):
    assert plain_spaces(when_in_words(*facts)) == sentence


def test_a_clash_names_the_other_shoots_and_forbids_nothing():
    sentence = clash_in_words([("Rye week", "Confirmed", DAY), ("Broths", "Pencilled", DAY)])
    assert plain_spaces(sentence) == (
        "On the same day: Rye week (confirmed, 14 Nov 2026) and Broths (pencilled, 14 Nov 2026). "
        "Both stay as they are; move one if you cannot do both."
    )
    assert clash_in_words([]) == ""


@pytest.mark.parametrize(
    ("said", "after", "not_to", "sentence"),
    [
        ("not_agreed", None, [], "Not agreed. Ask Walnut Lantern before you sell to others."),
        ("after", date(2027, 2, 28), [], "After 28 Feb 2027."),
        ("not_to", None, ["bakery", "coffee"], "Free, but not to bakery and coffee."),
        ("free", None, [], "Free: Walnut Lantern has nothing against it."),
    ],
)
def test_selling_on_in_a_sentence(said, after, not_to, sentence):
    assert plain_spaces(selling_on_in_words(said, after, not_to, "Walnut Lantern")) == sentence


def test_a_place_named_like_its_street_is_said_once():
    assert place_in_words("Lampwick Lane 4", "Lampwick Lane 4, 10115 Lindhafen") == "Lampwick Lane 4, 10115 Lindhafen"
    assert place_in_words("Own studio", "Kiln Yard 7") == "Own studio, Kiln Yard 7"
    assert place_in_words("Own studio", "") == "Own studio"
