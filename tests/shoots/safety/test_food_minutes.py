from datetime import UTC, datetime, time, timedelta

import pytest

from shoots.safety.food_minutes import FoodPlan, food_now, limit_of

OUT = datetime(2026, 11, 14, 10, 0, tzinfo=UTC)


# Our warnings at 1 h 30 and 3 h 30 stand half an hour before the 2 and 4 hours of the rules named in the file.
@pytest.mark.parametrize(("minutes", "limit"), [(0, 0), (89, 0), (90, 90), (209, 90), (210, 210), (600, 210)])
def test_the_limits(minutes, limit):
    assert limit_of(minutes) == limit
    assert FoodPlan(time(10), time(12), minutes).limit == limit


def test_minutes_run_until_the_last_picture_of_the_dish_is_taken():
    now = OUT + timedelta(minutes=100)
    picture = OUT + timedelta(minutes=80)
    running = food_now(OUT, last_picture=picture, is_all_taken=False, now=now)
    assert (running.minutes, running.is_running, running.limit) == (100, True, 90)
    ended = food_now(OUT, last_picture=picture, is_all_taken=True, now=now)
    assert (ended.minutes, ended.is_running, ended.limit) == (80, False, 0)


def test_a_portion_that_came_after_the_last_picture_still_stands():
    late = food_now(OUT, last_picture=OUT - timedelta(minutes=5), is_all_taken=True, now=OUT + timedelta(minutes=10))
    assert (late.minutes, late.is_running) == (10, True)
    assert food_now(OUT, last_picture=None, is_all_taken=True, now=OUT - timedelta(minutes=1)).minutes == 0
