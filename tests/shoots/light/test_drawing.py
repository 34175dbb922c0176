from datetime import time

from hypothesis import given
from hypothesis import strategies as st

from shoots.light.drawing import SIZE, draw_room
from shoots.light.setting import light_at
from shoots.light.sun import Place
from shoots.light.window import Table, Window
from tests.shoots.light.test_setting import LINDHAFEN, MARCH, south


def drawn(setting, hour=None, windows=None):
    at = setting.sun.at_clock(time(hour)) if setting.sun and hour is not None else None
    return draw_room(setting, light_at(setting, at), windows or [("Window table", setting.window)])


def test_noon_at_a_south_window_throws_a_patch_and_a_ray():
    found = drawn(south(), 12)
    assert found.patch
    assert found.ray
    assert float(found.sun.y) < 420  # the sun stands above the window wall, which is the top of the plan
    assert [each.is_lit for each in found.glasses] == [True]
    assert found.path.startswith("M")
    assert "12" in [each.words for each in found.hours]


def test_the_morning_sun_stands_left_of_a_south_window_and_falls_to_the_right():
    """Seen from the room, facing south, east is at the left hand."""
    found = drawn(south(), 10)
    assert float(found.sun.x) < 420
    far_corners = [float(pair.split(",")[0]) for pair in found.patch.split()[2:]]
    near_corners = [float(pair.split(",")[0]) for pair in found.patch.split()[:2]]
    assert sum(far_corners) > sum(near_corners)


def test_the_letters_of_the_compass_go_clockwise():
    letters = {each.words: (float(each.x), float(each.y)) for each in drawn(south(), 12).letters}
    assert letters["S"][1] < 420 < letters["N"][1]
    assert letters["E"][0] < 420 < letters["W"][0]  # south is up, so east is left


def test_at_night_the_lamp_is_drawn_and_no_sun():
    found = drawn(south(), 3)
    assert found.sun is None
    assert found.lamp is not None
    assert found.patch == found.ray == ""


def test_without_window_and_day_the_table_is_drawn_with_its_lamp():
    found = draw_room(south(window=None, day=None), light_at(south(window=None, day=None), None), [])
    assert (found.glasses, found.letters, found.path, found.hours) == ((), (), "", ())
    assert found.lamp is not None
    assert [each.words for each in found.cameras].count("side") > 0


def test_other_windows_stand_on_their_own_walls():
    setting = south()
    found = drawn(setting, 12, [("South", setting.window), ("West", Window(270, 1.2, 0.9, 2.1)), ("North", Window(0, 1.2, 0.9, 2.1)), ("East", Window(90, 1.2, 0.9, 2.1)), ("South too", Window(181, 1.2, 0.9, 2.1))])  # fmt: skip
    top, right, bottom, left, beside = found.glasses
    assert float(top.y1) == float(top.y2) == float(beside.y1)
    assert float(right.x1) > 420 > float(left.x1)
    assert float(bottom.y1) > 420
    assert float(beside.x2) < float(top.x1) or float(beside.x1) != float(top.x1)


def test_the_suns_way_is_broken_where_it_sets_after_midnight():
    setting = south(place=Place(65.5, 25.0, "Europe/Helsinki"), day=MARCH.replace(month=6, day=12))
    assert drawn(setting, 12).path.count("M") == 2


@given(st.floats(0.2, 8), st.floats(0, 9), st.floats(0.2, 4), st.floats(-5, 5), st.integers(0, 359), st.integers(0, 23))
def test_everything_stays_within_the_picture(width, distance, depth, aside, bearing, hour):
    setting = south(
        window=Window(bearing, 1.8, 0.9, 2.4), table=Table(0.9, distance, depth, width, aside), place=LINDHAFEN
    )
    found = drawn(setting, hour)
    for mark in (*found.cameras, *found.hours, *found.letters, found.cook):
        assert -30 <= float(mark.x) <= SIZE + 30
        assert -30 <= float(mark.y) <= SIZE + 30
    box = found.table
    assert float(box.x) >= 0
    assert float(box.x) + float(box.width) <= SIZE
    assert float(box.y) + float(box.height) <= SIZE
