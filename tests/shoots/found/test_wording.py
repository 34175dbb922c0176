from dataclasses import replace
from datetime import date

from shared.words.formats import plain_spaces
from shoots.found.wording import (
    first_answer_day,
    missing_in_words,
    reason_sentences,
    seen_in_words,
    unknown_sentences,
    use_seen_in_words,
)
from shoots.licences.cover import Reason
from shoots.licences.states import State
from shoots.uses.intended import Begins
from tests.shoots.found.test_verdict import SEEN, held


def test_what_is_missing_is_asked_for_in_one_sentence_part():
    assert missing_in_words(("pictures", "media")) == "which picture it is and in which medium"


def test_an_unpaid_fee_is_said_as_it_is():
    said = {
        reason_sentences(held(state=state, **also), SEEN.use, [Reason.UNPAID])[0]
        for state, also in (
            (State.OFFERED, {}),
            (State.ACCEPTED, {}),
            (State.ACCEPTED, {"begins": Begins.ON_DATE, "begins_on": date(2026, 1, 1)}),
        )
    }
    assert len(said) == 3


def test_what_cannot_be_known_is_said_where_it_is_so():
    assert len(unknown_sentences(replace(SEEN, user=None), are_copies_open=True)) == 4
    assert len(unknown_sentences(replace(SEEN, since=date(2026, 11, 1)), are_copies_open=False)) == 1


def test_days_and_use_in_words():
    assert plain_spaces(seen_in_words(SEEN)) == "18 Nov 2026"
    assert "2026" in seen_in_words(replace(SEEN, since=date(2026, 11, 1)))
    assert seen_in_words(replace(SEEN, since=date(2026, 11, 1))) != seen_in_words(SEEN)
    assert use_seen_in_words(SEEN) == "Advertising: website, Germany"
    nothing = replace(SEEN, classes=frozenset(), media=frozenset(), territories=frozenset())
    assert use_seen_in_words(nothing) == ""
    assert use_seen_in_words(replace(nothing, media=frozenset({"print.menu"}))) == "Menu"


def test_two_weeks_to_answer():
    assert first_answer_day(date(2026, 11, 20)) == date(2026, 12, 4)
