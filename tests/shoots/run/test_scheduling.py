from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shoots.run.day_plan import Activity, Day, InvalidDay, Need, Resource
from shoots.run.scheduling import hold_excess, plan_day
from tests.shoots.run.days import crowded_days, days, faults, two_dishes


def test_the_hand_checked_day_when_a_set_up_may_begin_before_the_food_is_ready():
    plan = plan_day(two_dishes(lead=6))
    assert plan.starts == {"chop": 0, "roast": 10, "mix": 12, "B": 21, "A": 44}
    assert (plan.finish, plan.bound) == (64, 64)  # the chain 10 + 40 + 4 + 10


def test_the_hand_checked_day_when_a_hero_begins_after_the_food():
    plan = plan_day(two_dishes())
    assert (plan.starts["B"], plan.starts["A"], plan.finish, plan.bound) == (27, 50, 70, 70)


def test_the_hand_checked_day_with_the_first_set():
    plan = plan_day(two_dishes(lead=6, first_set=True))
    assert (plan.finish, plan.bound) == (85, 85)  # 45 + 20 + 20
    assert {plan.starts["A"], plan.starts["B"]} == {45, 65}


def test_the_hand_checked_day_with_the_cook_away():
    plan = plan_day(two_dishes(lead=6, first_set=True, cook_closed=((60, 100),)))
    assert {plan.starts["A"], plan.starts["B"]} == {45, 94}  # plated 100-104, shot until 114
    assert plan.finish == 114


@given(days())
@settings(max_examples=150)
def test_a_plan_breaks_nothing_and_its_bound_is_one(day):
    plan = plan_day(day, seconds=0.003)
    assert faults(day, dict(plan.starts)) == []
    assert plan.bound <= plan.finish == max(plan.starts[each.id] + each.minutes for each in day.activities)


@given(days(), st.integers(0, 99))
@settings(max_examples=40)
def test_the_same_seed_gives_the_same_plan_and_more_search_none_worse(day, seed):
    first = plan_day(day, seconds=0)
    plan = plan_day(day, seconds=0.003, seed=seed)
    assert plan == plan_day(day, seconds=0.003, seed=seed)
    assert plan.cost <= first.cost
    again = plan_day(day, seconds=0.002, seed=seed + 1, begin=plan.starts)
    assert (again.cost, hold_excess(day, dict(again.starts))) <= (plan.cost, hold_excess(day, dict(plan.starts)))


@given(days(pins=True))
@settings(max_examples=150)
def test_planning_round_a_pin_never_moves_it_and_says_what_does_not_hold(day):
    plan = plan_day(day, seconds=0.003)
    assert faults(day, dict(plan.starts)) == []
    assert plan.bound <= plan.finish
    by_id = {each.id: each for each in day.activities}
    for each in day.activities:
        for before in each.after:
            late = plan.starts[before] + by_id[before].minutes - plan.starts[each.id] - each.lead
            said = any(caution.kind == "too_late" and caution.activity == before for caution in plan.cautions)
            assert late <= 0 or said


def test_food_is_made_as_late_as_it_can_be():
    day = Day(
        {"cook": Resource(1), "camera": Resource(1)},
        (
            Activity("set", 60, (Need("camera", 0, 60),)),
            Activity("foam", 2, (Need("cook", 0, 2),), hold=3),
            Activity("hero", 10, (Need("camera", 0, 10),), ("set", "foam")),
        ),
    )
    plan = plan_day(day)
    assert plan.starts == {"set": 0, "foam": 58, "hero": 60}
    assert plan.cautions == ()


def test_a_picture_waits_for_its_light():
    day = Day(
        {"camera": Resource(1)},
        (
            Activity("in the light", 10, (Need("camera", 0, 10),), window=(30, 60)),
            Activity("any time", 25, (Need("camera", 0, 25),)),
        ),
    )
    plan = plan_day(day)
    assert plan.starts == {"any time": 0, "in the light": 30}


def test_a_day_without_anything_is_planned_and_a_circle_is_not():
    assert plan_day(Day({}, ())).starts == {}
    with pytest.raises(InvalidDay, match=r"activities\[0\]\.after"):
        plan_day(Day({}, (Activity("a", 1, after=("b",)), Activity("b", 1, after=("a",)))))


def test_a_pin_that_cannot_hold_is_not_moved_back_to_where_the_earlier_plan_had_it():
    day = two_dishes()
    before = plan_day(day, seconds=0)
    pinned = Day(day.resources, tuple(replace(each, pinned=0) if each.id == "A" else each for each in day.activities))
    plan = plan_day(pinned, seconds=0.05, begin=before.starts)
    assert plan.starts["A"] == 0
    assert any(each.kind == "too_late" for each in plan.cautions)


@given(crowded_days())
def test_many_on_few_places_never_take_more_than_there_are(day):
    plan = plan_day(day, seconds=0.01)
    assert faults(day, dict(plan.starts)) == []
    assert plan.bound <= plan.finish
