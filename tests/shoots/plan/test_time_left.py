import pytest

from shoots.plan.time_left import Hours, ShotTime, minutes_of, minutes_together, over_by

NINE, FIVE = 9 * 60, 17 * 60


@pytest.mark.parametrize(
    ("shot", "minutes"),
    [
        (ShotTime("hero"), 20),
        (ShotTime("hero above"), 6),
        (ShotTime("empty set"), 2),
        (ShotTime("safety above"), 2),
        (ShotTime("grey card", has_dish=False), 2),
        (ShotTime("moment"), 6),
        (ShotTime("ingredients"), 12),
        (ShotTime("room", has_dish=False), 12),
    ],
)
def test_usual_minutes_of_a_shot(shot, minutes):
    """Set-up: new angle 4, new set 10, hero 10; take: step 2, hero 10. Common practice, no source."""
    assert minutes_of(shot) == minutes


def test_a_day_by_the_usual_minutes():
    """9:00 to 17:00 is 480 minutes, less first set 45, break 30, strike 30: 375 for shots."""
    hours = Hours(NINE, FIVE)
    fits = [ShotTime("moment")] * 62
    assert minutes_together(fits) == 372
    assert over_by(fits, hours) == 0
    assert over_by([*fits, ShotTime("moment")], hours) == 3
    assert over_by([*fits, *fits], Hours(NINE, FIVE, days=2)) == 0


def test_a_planned_day_is_measured_by_its_last_shot_and_the_strike():
    shots = [ShotTime("hero", planned=FIVE - 50), ShotTime("moment", planned=NINE)]
    assert over_by(shots, Hours(NINE, FIVE)) == 0
    assert over_by([*shots, ShotTime("moment")], Hours(NINE, FIVE)) == 6


def test_nothing_is_said_where_nothing_is_known():
    assert over_by([ShotTime()] * 200, None) == 0
    assert over_by([], Hours(NINE, NINE + 10)) == 0
    assert over_by([ShotTime()] * 200, Hours(FIVE, NINE)) == 0
