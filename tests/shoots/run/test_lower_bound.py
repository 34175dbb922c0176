from shoots.run.day_plan import Activity, Day, Need, Resource
from shoots.run.lower_bound import earliest_open, lower_bound
from tests.shoots.run.days import two_dishes


def test_the_longest_chain_and_the_camera_s_minutes_are_bounds():
    assert lower_bound(two_dishes(lead=6)) == 64  # chop 10, roast 40, plating 4, picture 10
    assert lower_bound(two_dishes(lead=6, first_set=True)) == 85  # camera 45 + 20 + 20


def test_closed_times_and_what_comes_before_and_after_count():
    need = (Need("cook", 0, 10),)
    day = Day(
        {"cook": Resource(1, ((15, 40),))},
        (Activity("a", 10, need, not_before=5), Activity("b", 10, need), Activity("c", 7, after=("a", "b"))),
    )
    assert (
        lower_bound(day) == 52
    )  # one of them begins before closing, the other at 40: done 50 at the earliest, but 45 by minutes of work; then 7
    assert earliest_open(day.activities[0], day, 6) == 40


def test_work_counts_beside_a_pin_but_not_where_pins_stand_on_one_another():
    need = (Need("cook", 0, 10),)
    cook = {"cook": Resource(1)}
    assert (
        lower_bound(Day(cook, (Activity("a", 10, need, pinned=5), Activity("b", 10, need), Activity("c", 10, need))))
        == 30
    )
    assert lower_bound(Day(cook, (Activity("a", 10, need, pinned=5), Activity("b", 10, need, pinned=8)))) == 18
