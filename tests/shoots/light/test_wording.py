from datetime import date

import pytest

from shoots.light.camera_side import Light, Wanted, stands
from shoots.light.setting import DAYLIGHT, LAMP, OVERCAST, hours_of, light_at, stretches
from shoots.light.sun import Place, sun_day
from shoots.light.window import Table, Window
from shoots.light.wording import (
    and_words,
    asked_words,
    clock_change_words,
    glass_words,
    headline,
    kind_words,
    light_name,
    measures_words,
    now_words,
    patch_words,
    places_words,
    points_to,
    reach_words,
    shot_words,
    span_words,
    spans_words,
    stray_words,
    sun_words,
    table_words,
    when_words,
)
from tests.shoots.light.test_setting import LINDHAFEN, TROMSO, at, south

NOVEMBER = date(2026, 11, 28)


def said(setting, missing=()):
    return headline(setting, hours_of(setting), missing)


def test_the_first_line_of_a_bright_day():
    words = said(south())
    assert words.startswith("Hard sun on the table from ")
    assert "Soft from " in words


@pytest.mark.parametrize(
    ("bearing", "also", "expected"),
    [
        (0, {}, "No sun in this window all day: soft light from the window, north"),
        (180, {"building_degrees": 45}, "What stands opposite keeps the sun out all day: soft light, and less of it"),
        (180, {"building_degrees": 60}, "The window faces a wall: no sun, and little light"),
        (180, {"building_degrees": 90}, "The window faces a wall: no sun, and little light"),
    ],
)
def test_the_first_line_of_a_window_without_sun(bearing, also, expected):
    assert said(south(window=Window(bearing, 1.8, 0.9, 2.4, **also))).startswith(expected)


def test_a_wall_is_a_wall_under_clouds_too_but_not_where_the_sun_comes_over_it():
    wall = Window(180, 1.8, 0.9, 2.4, building_degrees=60)
    assert said(south(OVERCAST, window=wall)).startswith("The window faces a wall")
    tropics = south(window=wall, sun=sun_day(Place(14.0, -17.4, "Africa/Dakar"), date(2026, 11, 1)))
    hours = hours_of(tropics)
    assert hours.on_glass
    assert "faces a wall" not in said(tropics)
    assert table_words(tropics, hours).startswith(("Hard from", "Soft from"))


def test_what_a_window_is_like_in_words():
    plain = Window(180, 1.8, 0.9, 2.4)
    assert measures_words(plain, is_measured=True) == "180 cm wide, 90 to 240 cm above the floor"
    shaded = Window(180, 1.8, 0.9, 2.4, overhang_depth=0.6, overhang_above=0.2, building_degrees=20)
    assert measures_words(shaded, is_measured=False) == (
        "180 cm wide, 90 to 240 cm above the floor; not measured, so assumed; overhang 60 cm deep, 20 cm above the glass; "
        "what stands opposite is 20° high"
    )


def test_how_far_the_sun_reaches_and_what_a_table_has_of_it():
    setting = south()
    hours = hours_of(setting)
    assert reach_words(setting, hours).startswith("At the height of the table it lies 0.0 to ")
    assert table_words(setting, hours).startswith("Hard from ")
    north = south(window=Window(0, 1.8, 0.9, 2.4))
    assert (reach_words(north, hours_of(north)), table_words(north, hours_of(north))[:10]) == ("", "Soft from ")
    assert reach_words(south(sun=None), None) == table_words(south(sun=None), None) == ""


def test_sun_from_another_window_is_named():
    setting = south()
    assert stray_words(setting, []) == stray_words(south(sun=None), [("West", ())]) == ""
    spans = hours_of(setting).on_glass
    assert stray_words(setting, [("West window", spans)]).startswith("Sun also falls in at West window from ")


def test_the_first_line_of_a_table_the_sun_does_not_reach():
    assert "but not on the table" in said(south(table=Table(0.9, 5.0, 0.8, 1.4)))


def test_the_first_line_by_lamp_and_cloud_and_without_a_day():
    assert said(south(LAMP)) == "By the lamp, at 10 o’clock on the plan. The day does not change it."
    assert said(south(OVERCAST)).startswith("Closed sky: soft light from the window, south, from ")
    assert said(south(window=None)).endswith("No window is reckoned with.")
    assert said(south(day=None), ["the shoot has no date"]) == (
        "Soft light from the window, south. When the sun comes in is not known: the shoot has no date."
    )


def test_polar_day_and_night_in_words():
    assert sun_words(sun_day(TROMSO, date(2027, 6, 21))) == "The sun does not set."
    winter = south(place=TROMSO, day=date(2027, 12, 21))
    assert said(winter).startswith("The sun does not rise. Twilight from ")
    assert said(winter).endswith("Bring the lamp.")
    assert sun_words(sun_day(Place(90, 0, "Etc/UTC"), date(2027, 12, 21))).endswith("there is no twilight.")


def test_the_day_the_clocks_change_says_so():
    assert clock_change_words(sun_day(LINDHAFEN, NOVEMBER)) == ""
    assert "forward on this day: it has 23 hours" in clock_change_words(sun_day(LINDHAFEN, date(2027, 3, 28)))
    assert "back on this day: it has 25 hours" in clock_change_words(sun_day(LINDHAFEN, date(2027, 10, 31)))


def test_times_are_those_of_the_kitchens_clock():
    sun = sun_day(LINDHAFEN, date(2027, 6, 21))
    assert span_words(sun, sun.up[0]).startswith("04:4")
    assert spans_words(sun, (*sun.up, *sun.up)).count(" and ") == 1
    midsummer = sun_day(TROMSO, date(2027, 6, 21))
    assert span_words(midsummer, midsummer.up[0]) == "00:00 to 24:00"


@pytest.mark.parametrize(
    ("kind", "hour", "expected"),
    [
        (DAYLIGHT, 12, "hard light on the table"),
        (DAYLIGHT, 3, "03:00: dark. The lamp lights the table from 10 o’clock"),
        (DAYLIGHT, 6, "06:00: twilight."),
        (OVERCAST, 12, "behind the clouds"),
        (LAMP, 3, "03:00: the sun is down. The lamp lights"),
        (LAMP, 12, "falls in at the window: draw the blind. The lamp lights the table from 10 o’clock"),
    ],
)
def test_a_moment_in_words(kind, hour, expected):
    setting = south(kind)
    assert expected in now_words(setting, light_at(setting, at(setting, hour)), at(setting, hour))


def test_why_there_is_no_sun_at_a_moment():
    def noon(**also):
        setting = south(**also)
        return now_words(setting, light_at(setting, at(setting, 12)), at(setting, 12))

    assert "behind this wall" in noon(window=Window(0, 1.8, 0.9, 2.4))
    assert "behind what stands opposite" in noon(window=Window(180, 1.8, 0.9, 2.4, building_degrees=60))
    assert "shaded from the table" in noon(window=Window(180, 1.8, 0.9, 2.4, overhang_depth=4))
    assert "high in the south, 36° off square to the glass. Its patch lies" in noon()
    assert "beside the table" in noon(table=Table(0.9, 5.0, 0.8, 1.4))
    assert now_words(south(day=None), light_at(south(day=None), None), None) == ""


def test_glass_in_words():
    assert " to " in glass_words(south(), hours_of(south()))
    assert glass_words(south(OVERCAST), hours_of(south(OVERCAST))) == "None: closed sky"
    north = south(window=Window(0, 1.8, 0.9, 2.4))
    assert glass_words(north, hours_of(north)) == "None this day"
    wall = south(window=Window(180, 1.8, 0.9, 2.4, building_degrees=90))
    assert glass_words(wall, hours_of(wall)) == "None: hidden by what stands opposite"
    assert glass_words(south(day=None), None) == "Not known"


def test_where_to_stand_in_words():
    setting = south()
    back = shot_words(setting, Wanted(Light.BACK, True), angle="level", at=at(setting, 7), is_timed=True)
    assert back == "Stand on the room side, facing the window. Soft light then."
    side = shot_words(setting, Wanted(Light.SIDE, True), angle="level", at=None, is_timed=False)
    assert side == "Stand at the left end, light from the left."  # the cook is at the right end
    above = shot_words(setting, Wanted(Light.SIDE, True), angle="overhead", at=None, is_timed=False)
    assert above == "From above: the light comes from 3 o’clock, seen from the cook."
    hard = shot_words(setting, Wanted(Light.BACK, True), angle="level", at=at(setting, 12), is_timed=True)
    assert "white cloth in the window" in hard
    untimed = shot_words(setting, Wanted(Light.BACK, True), angle="level", at=at(setting, 12), is_timed=False)
    assert untimed.endswith("No soft light on this day: a white cloth in the window makes it.")
    dark = shot_words(setting, Wanted(Light.BACK, True), angle="level", at=at(setting, 22), is_timed=True)
    assert dark.endswith("The sun is down then: bring the lamp.")


def test_two_people_at_one_place_and_a_table_at_the_wall():
    facing = south(cook_hour=6)
    assert "change places for the take" in shot_words(
        facing, Wanted(Light.BACK, True), angle="level", at=None, is_timed=False
    )
    front = shot_words(south(), Wanted(Light.FRONT, True), angle="level", at=None, is_timed=False)
    assert "Only 60 cm between wall and table" in front


def test_a_stretch_in_words():
    setting = south()
    lines = stretches(setting, hours_of(setting))
    assert {kind_words(each) for each in lines} == {"Soft", "Hard sun"}
    assert " to " in when_words(setting, lines[0])
    lamp = stretches(south(LAMP), None)[0]
    assert (when_words(south(LAMP), lamp), kind_words(lamp)) == ("At any time", "The lamp")
    assert kind_words(stretches(south(day=None), None)[0]) == "Window light"


def test_places_between_window_and_table_are_named_only_where_there_is_no_other():
    aslant = stands(Light.SIDE, 90, 0)
    assert places_words(aslant, has_window=True) == "room side"
    assert places_words(aslant, has_window=False) == "foot of the plan or top of the plan"
    assert places_words(stands(Light.FRONT, 0, 0), has_window=True) == "with your back to the window"


def test_small_words():
    assert and_words(["one"]) == "one"
    assert and_words(["one", "two", "three"]) == "one, two and three"
    assert and_words([]) == ""
    assert points_to(359.9) == "north"
    assert patch_words(0.2, 1.44) == "0.2 to 1.4 m into the room"
    assert patch_words(0.2, 60) == "0.2 to more than 9 m into the room"
    assert patch_words(12, 60) == "more than 9 m into the room"
    assert asked_words(Wanted(Light.SIDE, True, is_low=True), "overhead") == "Raking side light"
    assert asked_words(Wanted(Light.SIDE, False), "overhead") == "Side light, suggested by the overhead view"
    assert asked_words(Wanted(Light.BACK_SIDE, False), "") == "Back-side light, suggested"
    assert light_name(Light.BACK_SIDE) == "Back-side"
