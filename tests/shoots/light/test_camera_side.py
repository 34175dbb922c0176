import pytest
from hypothesis import given
from hypothesis import strategies as st

from shoots.light.camera_side import (
    MIDDLE,
    Light,
    at_clock,
    best_stand,
    clock_position,
    light_against_camera,
    side_words,
    stands,
    wanted_light,
)


@pytest.mark.parametrize(
    ("looks", "light_from", "light", "hand"),
    [
        (0, 0, "back", ""),
        (0, 90, "side", "right"),
        (45, 315, "side", "left"),
        (90, 250, "front", "right"),
        (0, 30, "back", "right"),
        (0, 31, "back-side", "right"),
        (0, 60, "side", "right"),
        (0, 240, "side", "left"),
        (0, 239, "front-side", "left"),
        (350, 200, "front", "left"),
        (10, 190, "front", ""),
    ],
)
def test_light_against_the_camera(looks, light_from, light, hand):
    found = light_against_camera(looks, light_from)
    assert (found.light, found.hand) == (light, hand)


def test_the_angle_of_the_worked_check():
    assert light_against_camera(90, 250).degrees == 160


@pytest.mark.parametrize(
    ("light_from", "facing", "hour"),
    [(0, 0, 12), (90, 0, 3), (180, 0, 6), (310, 310, 12), (310, 40, 9), (14, 0, 12), (15, 0, 1), (350, 0, 12)],
)
def test_an_overhead_shot_has_its_light_on_the_clock(light_from, facing, hour):
    assert clock_position(light_from, facing) == hour


@given(st.integers(1, 12), st.integers(0, 359))
def test_the_clock_goes_both_ways(hour, facing):
    assert clock_position(at_clock(hour, facing), facing) == hour


@pytest.mark.parametrize(
    ("words", "angle", "light", "is_said"),
    [
        ("back, dark ground", "level", "back", True),
        ("raking side", "overhead", "side", True),
        ("back-side", "", "back-side", True),
        ("backlit", "", "back", True),
        ("side light", "", "side", True),
        ("dim key, flame as light", "level", "back", False),
        ("", "overhead", "side", False),
        ("", "three-quarter", "back-side", False),
        ("", "", "back-side", False),
        ("background dark", "level", "back", False),
    ],
)
def test_the_light_a_shot_asks_for(words, angle, light, is_said):
    found = wanted_light(words, angle)
    assert (found.light, found.is_said) == (light, is_said)


def test_raking_light_is_low():
    assert wanted_light("raking side", "").is_low
    assert not wanted_light("side", "").is_low


@given(st.sampled_from(list(Light)), st.floats(0, 359.9), st.floats(0, 359.9))
def test_whoever_stands_there_has_that_light(light, light_from, up):
    for stand in stands(light, light_from, up):
        assert light_against_camera(stand.looks, light_from).light == light
    assert len(stands(light, light_from, up)) == (1 if MIDDLE[light] in {0, 180} else 2)


def test_back_light_is_taken_from_the_room_side_and_side_light_from_either_end():
    assert [each.hour for each in stands(Light.BACK, 310, 310)] == [6]
    side = stands(Light.SIDE, 310, 310)
    assert [(each.hour, each.hand) for each in side] == [(3, "right"), (9, "left")]
    assert side_words(6, has_window=True) == "on the room side, facing the window"
    assert side_words(6, has_window=False) == "at the foot of the plan"


def test_the_camera_keeps_away_from_the_cook_and_out_of_the_window():
    side = stands(Light.SIDE, 310, 310)
    assert best_stand(side, cook_hour=3, window_hour=12).hour == 9
    assert best_stand(side, cook_hour=9, window_hour=12).hour == 3
    assert best_stand(stands(Light.BACK, 0, 0), cook_hour=6, window_hour=12).hour == 6  # there is no other
    aslant = stands(Light.SIDE, 90, 0)
    assert [each.hour for each in aslant] == [6, 12]
    assert best_stand(aslant, cook_hour=6, window_hour=12).hour == 6
