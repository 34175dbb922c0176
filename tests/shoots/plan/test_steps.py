from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shoots.plan.steps import Step, celsius_named, guess_minutes, minutes_named, read_number, read_step


@pytest.mark.parametrize(
    ("words", "minutes"),
    [
        ("Knead for 10 minutes.", (10, 10)),
        ("5-7 minutes", (5, 7)),
        ("20 to 30 min", (20, 30)),
        ("ten to twelve minutes", (10, 12)),
        ("an hour", (60, 60)),
        ("half an hour", (30, 30)),
        ("an hour and a half", (90, 90)),
        ("1h", (60, 60)),
        ("1h30min", (90, 90)),
        ("1 hour and 20 minutes", (80, 80)),
        ("1½ hours", (90, 90)),
        ("30 minutes to 1 hour", (30, 60)),
        ("a few seconds, then 30 seconds", (1, 1)),
        ("Soak overnight", (480, 720)),
        ("2 days", (2880, 2880)),
        ("a quarter of an hour", (15, 15)),
        ("three quarters of an hour", (45, 45)),
        ("half-hour", (30, 30)),
        ("½ an hour", (30, 30)),
        ("an hour or two", (60, 120)),
        ("a couple of hours", (120, 120)),
        ("a minute or two", (1, 2)),
        ("1:30 h", (90, 90)),
        ("1 h 30", (90, 90)),
        ("2 hours 180 °C", (120, 120)),
        ("until the next morning", (480, 720)),
        ("baste every 10 minutes for 1 hour", (60, 60)),
    ],
)
def test_a_duration_is_read_in_whole_minutes(words, minutes):
    assert minutes_named(words) == minutes


@pytest.mark.parametrize(
    "words",
    ["Add 500 ml water", "into a second bowl", "5 medium eggs", "until golden", "1 m long", "Stir every 5 minutes", ""],
)
def test_words_without_a_duration_give_none(words):
    assert minutes_named(words) is None


@pytest.mark.parametrize(
    ("words", "celsius"),
    [
        ("180 C", 180),
        ("at 180 °C", 180),
        ("180 degrees C", 180),
        ("350 F", 177),
        ("220C/200C", 220),
        ("200 to 220 °C", 220),
        ("150˚C (300˚F)", 150),
        ("-18 °C", -18),
        ("4 °C", 4),
        ("gas mark 4", 180),
        ("350°-360°F", 182),
        ("2 C flour", None),
        ("2 cups", None),
    ],
)
def test_a_temperature_is_read_in_whole_degrees_celsius(words, celsius):
    assert celsius_named(words) == celsius


def test_a_step_keeps_its_words_beside_what_was_read():
    step = read_step(3, "Bake at 240 °C for 12 to 14 minutes.", "For the boats")
    assert step == Step(3, "Bake at 240 °C for 12 to 14 minutes.", 12, 14, 240, "For the boats")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("Bake at 900 °F.", "482 °C is hotter than an oven goes"),
        ("Soak for 80 hours.", "80 hours is longer than three days"),
        ("Simmer 40 to 20 minutes.", "runs backwards"),
        ("Fry 5 minutes, then simmer 20 minutes.", "More than one time"),
    ],
)
def test_what_is_doubtful_in_a_step_is_said(words, said):
    assert any(said in remark.why and remark.words in words for remark in read_step(1, words).remarks)


def test_the_end_of_a_step_too_long_to_search_is_named():
    long = read_step(1, "Stir. " * 2000 + "Bake for 5 minutes.")
    assert long.minutes_from is None
    assert long.remarks[0].words == long.text[10_000:10_200]
    assert "Split it" in long.remarks[0].why


def test_times_and_heat_that_make_no_sense_are_not_taken():
    assert read_step(1, "Soak for 80 hours at 900 °F.").minutes_to is None
    assert read_step(1, "Soak for 80 hours at 900 °F.").celsius is None


@pytest.mark.parametrize(
    ("text", "number"),
    [
        ("2", 2), ("1,5", Fraction(3, 2)), ("1.5", Fraction(3, 2)), ("1/2", Fraction(1, 2)), ("1 1/2", Fraction(3, 2)), ("1 and 1/4", Fraction(5, 4)),
        ("½", Fraction(1, 2)), ("1½", Fraction(3, 2)), ("half a", Fraction(1, 2)), ("twelve", 12), ("1/0", None), ("some", None), ("", None),
    ],
)  # fmt: skip
def test_a_number_is_read_as_kitchens_write_it(text, number):
    assert read_number(text) == number


def test_a_step_without_a_time_is_guessed_from_its_actions():
    assert guess_minutes(["knead", "rest"]) == 18
    assert guess_minutes([]) == 2


@given(st.text(max_size=200))
def test_any_words_make_a_step_whose_minutes_are_in_order(words):
    step = read_step(1, words)
    assert step.text == words
    assert step.minutes_from is None or 1 <= step.minutes_from <= step.minutes_to <= 72 * 60
