import pytest

from shoots.run.day_plan import (
    Activity,
    Day,
    InvalidDay,
    Need,
    Resource,
    broken,
    cautions_of,
    check,
    find_circle,
    minutes_outside,
    waits,
)

COOK = {"cook": Resource(1, ((100, 1440),))}


def day(*activities):
    return Day(COOK, activities)


@pytest.mark.parametrize(
    ("activities", "path"),
    [
        ((Activity("a", 1), Activity("a", 1)), "activities[1].id"),
        ((Activity("a", 5, (Need("oven", 0, 5),)),), "activities[0].needs[0].resource"),
        ((Activity("a", 5, (Need("cook", 0, 6),)),), "activities[0].needs[0]"),
        ((Activity("a", 5, (Need("cook", 3, 3),)),), "activities[0].needs[0]"),
        ((Activity("a", 5, (Need("cook", 0, 5, 2),)),), "activities[0].needs[0].amount"),
        ((Activity("a", 5, (Need("cook", 0, 3), Need("cook", 2, 5))),), "activities[0].needs[1].amount"),
        ((Activity("a", 1, after=("b",)),), "activities[0].after[0]"),
        ((Activity("a", 1, after=("a",)),), "activities[0].after"),
    ],
)
def test_a_day_that_cannot_be_planned_is_refused_with_the_place(activities, path):
    with pytest.raises(InvalidDay) as refused:
        check(day(*activities))
    assert refused.value.path == path


def test_a_circle_is_named_without_what_only_hangs_on_it():
    activities = (Activity("x", 1, after=("b",)), Activity("a", 1, after=("b",)), Activity("b", 1, after=("a",)))
    assert set(find_circle(day(*activities))) == {"a", "b"}
    assert find_circle(day(Activity("a", 1), Activity("b", 1, after=("a",)))) == ()


def test_minutes_outside_a_window_are_counted_and_never_more_than_there_are():
    assert [minutes_outside(start, 10, (30, 60)) for start in (0, 25, 30, 50, 55, 90)] == [10, 5, 0, 0, 5, 10]
    assert minutes_outside(0, 10, None) == 0


def test_what_waits_waits_for_the_next_of_its_followers():
    made = day(
        Activity("foam", 5, hold=3), Activity("far", 5, after=("foam",)), Activity("near", 20, after=("foam",), lead=6)
    )
    starts = {"foam": 0, "far": 30, "near": 6}
    assert waits(made, starts) == {"foam": 7}
    assert [(each.kind, each.minutes, each.other) for each in cautions_of(made, starts)] == [("hold", 4, "near")]


def test_what_cannot_hold_is_said_by_its_kind():
    made = day(
        Activity("roast", 40, (Need("cook", 0, 2),)),
        Activity("hero", 20, (Need("cook", 6, 10),), ("roast",), pinned=30, window=(0, 40)),
        Activity("late", 30, (Need("cook", 0, 30),)),
        Activity("too", 20, (Need("cook", 0, 20),)),
    )
    starts = {"roast": 0, "hero": 30, "late": 80, "too": 35}
    kinds = {(each.kind, each.activity): each.minutes for each in cautions_of(made, starts)}
    assert kinds == {
        ("too_late", "roast"): 10,
        ("outside_daylight", "hero"): 10,
        ("closed", "late"): 10,
        ("overfull", "late"): 10,
        ("clash", "hero"): 4,
    }
    assert broken(made, starts) == 10 + 10 + 4
