import pytest

from shoots.plan.lexicon import Action, find_actions
from shoots.plan.queries import kitchen_lexicon
from shoots.recipes.own_words import (
    WordRefused,
    check_word,
    first_word,
    lexicon_with,
    meaning_of,
    word_for,
    word_to_learn,
)

FRIZZLE = Action("kind-1", ("frizzle",), "edges curl", "once", 4, (), "level", "tight", "freeze", "back", (), "", (), 5)


def ids(text, *, kinds=(), words=()):
    return [
        found.action_id for found in find_actions(text, lexicon_with(kitchen_lexicon(), tuple(kinds), tuple(words)))
    ]


@pytest.mark.parametrize(
    ("typed", "kept"),
    [(" Flash ", "flash"), ("“flash”.", "flash"), ("Slip  under", "slip under"), ("anbräunen", "anbräunen")],
)
def test_a_word_is_kept_in_small_letters_without_marks(typed, kept):
    assert check_word(typed) == kept


@pytest.mark.parametrize(
    "typed",
    ["", "  ", "…", "12", "2 g", "the", "und", "until the", "x", "x" * 41, "a b c d e", "x" * 200, "f@ash", "<b>"],
)
def test_what_would_match_nothing_or_everything_is_refused(typed):
    with pytest.raises(WordRefused):
        check_word(typed)


def test_a_word_means_what_the_table_says_in_any_form():
    assert (meaning_of("pour", kitchen_lexicon()), meaning_of("pouring", kitchen_lexicon())) == ("pour", "pour")
    assert meaning_of("flash", kitchen_lexicon()) is None
    assert meaning_of("", kitchen_lexicon()) is None


def test_an_own_word_is_found_from_then_on():
    text = "Flash the onions in the pan."
    assert ids(text) == []
    assert ids(text, words=[("flash", "sear")]) == ["sear"]


def test_an_own_word_goes_before_the_table():
    lexicon = kitchen_lexicon()
    many = next(action for action in lexicon.actions if len(action.words) > 1)
    assert ids("Drizzle the oil over it.") == ["drizzle"]
    assert ids("Drizzle the oil over it.", words=[("drizzle", "pour")]) == ["pour"]
    assert meaning_of(many.words[0], lexicon_with(lexicon, (), ((many.words[0], "pour"),))) == "pour"


def test_an_own_kind_is_read_with_its_own_words():
    assert ids("Frizzle the ham.", kinds=[FRIZZLE]) == ["kind-1"]
    assert ids("Crinkle the ham.", kinds=[FRIZZLE], words=[("crinkle", "kind-1")]) == ["kind-1"]


def test_a_word_of_a_kind_that_went_is_left_out():
    assert ids("Crinkle the ham.", words=[("crinkle", "kind-1")]) == []


def test_without_own_words_the_table_is_the_same():
    assert lexicon_with(kitchen_lexicon(), (), ()) is kitchen_lexicon()


def test_what_the_word_means_so_far_is_said():
    assert word_for("Flash", "sear", kitchen_lexicon()) == ("flash", "")
    assert word_for("drizzle", "pour", kitchen_lexicon()) == ("drizzle", "drizzle")


def test_a_word_that_says_the_same_or_means_nothing_known_is_refused():
    with pytest.raises(WordRefused, match="already"):
        word_for("pour", "pour", kitchen_lexicon())
    with pytest.raises(WordRefused, match="went"):
        word_for("flash", "kind-9", kitchen_lexicon())
    with pytest.raises(WordRefused, match="only word"):
        word_for("frizzle", "pour", lexicon_with(kitchen_lexicon(), (FRIZZLE,), ()))


def test_the_word_to_learn_is_the_first_that_could_be_one():
    assert word_to_learn("Flash the onions", "sear", kitchen_lexicon()) == "flash"
    assert word_to_learn("Sear the onions", "sear", kitchen_lexicon()) == ""
    assert word_to_learn("Flash the onions", "kind-9", kitchen_lexicon()) == ""
    assert first_word("The 12 flash") == "flash"
    assert first_word("1 2 3 flash") == ""
