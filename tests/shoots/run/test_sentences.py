from datetime import time

import pytest

from shoots.run.activities import Change, DishOf, StepOf, Terms, day_of, draft_day
from shoots.run.clocks import FoodClock
from shoots.run.day_plan import Caution
from shoots.run.sentences import clock_of, minute_of, say, say_food, say_too_full, span, title_of

CALL = time(9, 30)
FOAM = DishOf(1, "Coffee", (StepOf(5, "Whip the foam.", ("whisk",)),))
DRAFT = draft_day([FOAM], [], Terms())
BY_KEY = {each.key: each for each in DRAFT.activities}


def test_minutes_from_the_call_are_times_of_the_clock_and_back():
    assert clock_of(45, CALL) == time(10, 15)
    assert clock_of(15 * 60, CALL) == time(0, 30)
    assert minute_of(time(10, 15), CALL) == 45
    assert minute_of(time(9), CALL) == 23 * 60 + 30


def test_spans_are_said_as_people_do():
    assert [span(each) for each in (1, 7, 60, 90, 125)] == ["1 minute", "7 minutes", "1 hour", "1 hour 30", "2 hours 5"]


def test_a_long_step_is_named_by_its_first_words():
    long = draft_day(
        [
            DishOf(
                1, "Stew", (StepOf(1, "Ladle the stew into four clay pots, put the lids on and bake them.", ("bake",)),)
            )
        ],
        [],
        Terms(),
    )
    assert title_of(long.activities[1]) == "Stew: Ladle the stew into four clay pots, put the lids on and …"
    assert title_of(BY_KEY["hero:1"]) == "Plating and hero: Coffee"


@pytest.mark.parametrize(
    ("caution", "words"),
    [
        (Caution("hold", "step:5", 4, "hero:1"), "“Coffee: Whip the foam” waits 7 minutes; it lasts about 3 minutes."),
        (Caution("outside_daylight", "hero:1", 12), "“Plating and hero: Coffee” is 12 minutes outside its light."),
        (Caution("too_late", "step:5", 8, "hero:1"), "“Coffee: Whip the foam” is done at 10:44, 8 minutes too late for “Plating and hero: Coffee”. Set that later, or drop something."),
        (Caution("closed", "step:5", 2, resource="kitchen"), "“Coffee: Whip the foam” stands 2 minutes in a time when the kitchen is closed."),
        (Caution("closed", "step:5", 2, resource="cook"), "“Coffee: Whip the foam” stands 2 minutes in a time when the cook is not there."),
        (Caution("clash", "step:5", 2, resource="cook"), "“Coffee: Whip the foam” takes more of cook than there is, for 2 minutes. Set one of them to another time."),
        (Caution("overfull", "hero:1", 2), "“Plating and hero: Coffee” ends after the day is over."),
    ],
)  # fmt: skip
def test_what_does_not_hold_is_said(caution, words):
    day = day_of(DRAFT, Terms(), {"step:5": Change(hold=3)})
    assert say(caution, day, BY_KEY, {"step:5": 70, "hero:1": 60}, CALL) == words


def test_food_and_a_day_too_full_are_said_with_what_to_do():
    assert say_food(FoodClock("Stew", 95, 90)).startswith("Stew: 1 hour 35 between the heat or the fridge")
    assert "Not for eating once handled on set, unless the cook says so." in say_food(FoodClock("Stew", 95, 90))
    ways = {"Dropping 3 pictures that would only be nice to have": 18, "Moving Stew to a second day": 70}
    assert say_too_full(60, ways) == "The day is 1 hour too full. Moving Stew to a second day would be enough."
    assert "None of it alone is enough" in say_too_full(600, ways)
    assert say_too_full(5, {}) == "The day is 5 minutes too full. Begin earlier, or drop a picture."
