from datetime import date

import pytest

from studio.today.sentence import counted, joined, opening

ON = date(2026, 11, 12)
QUIET = {"shoots_today": 0, "next_on": None, "on": ON, "unsigned": 0, "late": 0, "ending": 0, "questions": 0}


def test_a_quiet_day_says_so_and_stops():
    assert opening(**QUIET) == "No shoot is planned. Nothing is late and nothing waits for you."


def test_what_someone_must_look_at_is_named_in_words():
    said = opening(**{**QUIET, "next_on": date(2026, 11, 14), "unsigned": 1, "late": 1})
    assert (
        said
        == "Nothing to shoot today, the next shoot is in 2 days. One release is not signed and one invoice is late."
    )


@pytest.mark.parametrize(
    ("change", "begins"),
    [
        ({"shoots_today": 1}, "One shoot today."),
        ({"next_on": date(2026, 11, 13)}, "Nothing to shoot today, the next shoot is tomorrow."),
    ],
)
def test_the_sentence_begins_with_the_next_shoot(change, begins):
    assert opening(**{**QUIET, **change}).startswith(begins)


def test_someone_who_sees_no_money_hears_of_no_invoice():
    assert "invoice" not in opening(**{**QUIET, "late": None, "ending": 2, "questions": 1})


def test_counts_are_words_up_to_nine():
    assert counted(9, "shot", "shots") == "Nine shots"
    assert counted(12, "shot", "shots") == "12 shots"
    assert (
        joined(["One release waits", "Two invoices are late", "Three licences end"])
        == "One release waits, two invoices are late and three licences end"
    )
