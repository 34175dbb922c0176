from dataclasses import replace
from datetime import date, time, timedelta
from itertools import pairwise

import pytest

from shoots.light.camera_side import Light, light_against_camera
from shoots.light.setting import (
    DARK,
    DAYLIGHT,
    DUSK,
    LAMP,
    LAMPLIGHT,
    OVERCAST,
    SOFT,
    SUN,
    UNKNOWN,
    Setting,
    clock_for_cook,
    hours_of,
    light_at,
    stretches,
    three_moments,
)
from shoots.light.sun import Place, sun_day
from shoots.light.window import Table, Window, window_day

LINDHAFEN = Place(54.35, 10.16, "Europe/Berlin")
TROMSO = Place(69.65, 18.96, "Europe/Oslo")
MARCH = date(2027, 3, 20)


def south(kind=DAYLIGHT, *, day=MARCH, place=LINDHAFEN, **also):
    values = {
        "kind": kind,
        "window": Window(180, 1.8, 0.9, 2.4),
        "table": Table(0.9, 0.6, 0.8, 1.4),
        "lamp_hour": 10,
        "cook_hour": 3,
        "sun": sun_day(place, day) if day else None,
    }
    return Setting(**{**values, **also})


def at(setting, hour, minute=0):
    return setting.sun.at_clock(time(hour, minute))


@pytest.mark.parametrize(
    ("kind", "hour", "expected"),
    [(DAYLIGHT, 12, SUN), (DAYLIGHT, 3, DARK), (DAYLIGHT, 6, DUSK), (OVERCAST, 12, SOFT), (LAMP, 12, LAMPLIGHT)],
)
def test_the_light_there_is(kind, hour, expected):
    setting = south(kind)
    assert light_at(setting, at(setting, hour)).kind == expected


def test_the_light_comes_from_the_sun_the_window_or_the_lamp():
    setting = south()
    hard = light_at(setting, at(setting, 12))
    assert hard.light_from == hard.sun.azimuth
    assert hard.patch.far > 0.6
    assert light_at(south(OVERCAST), at(setting, 12)).light_from == 180
    assert light_at(south(LAMP), at(setting, 12)).light_from == (180 + 300) % 360
    assert light_at(setting, at(setting, 3)).light_from == 120  # dark: the lamp


def test_without_a_day_the_window_still_says_where_the_light_comes_from():
    setting = south(day=None)
    assert (light_at(setting, None).kind, light_at(setting, None).light_from) == (UNKNOWN, 180)
    assert hours_of(setting) is None
    assert light_at(south(OVERCAST, day=None), None).kind == SOFT


def test_without_a_window_the_lamp_lights():
    setting = south(window=None)
    assert setting.by_lamp
    assert light_at(setting, at(setting, 12)).kind == LAMPLIGHT
    assert hours_of(setting) is None
    assert stretches(setting, None)[0].span is None


def test_a_blinded_window_is_told_when_the_sun_is_on_it():
    setting = south(LAMP)
    assert light_at(setting, at(setting, 12)).is_on_glass
    assert not light_at(setting, at(setting, 3)).is_on_glass


def test_a_table_to_the_right_has_the_window_at_its_left():
    aside = south(table=Table(0.9, 0.6, 0.8, 1.4, aside=1.0))
    assert aside.window_from == pytest.approx(135)  # a metre to the right, a metre from the wall
    assert light_against_camera(180, aside.window_from).hand == "left"


def test_under_a_closed_sky_all_the_day_is_soft():
    hours = hours_of(south(OVERCAST))
    assert hours.on_glass == hours.hard == ()
    assert hours.soft == south().sun.up


def test_the_places_follow_the_sun_while_it_lies_on_the_table():
    setting = south()
    lines = stretches(setting, hours_of(setting))
    assert {line.kind for line in lines} == {SOFT, SUN}
    hard = [line for line in lines if line.kind == SUN]
    backs = [line.places[0][1][0].hour for line in hard]
    assert backs[0] < 6 < backs[-1]  # facing south the morning sun comes from the left, so the camera is at the right
    assert 6 in backs
    for line in lines:
        middle = line.span.from_at + (line.span.until_at - line.span.from_at) / 2
        light_from = light_at(setting, middle).light_from
        for light, choices in line.places:
            assert all(
                abs(
                    light_against_camera(each.looks, light_from).degrees
                    - {"back": 0, "back-side": 45, "side": 90}[light]
                )
                < 31
                for each in choices
            )


def test_the_stretches_cover_the_day_but_for_a_glance_at_either_end():
    setting = south()
    spans = [line.span for line in stretches(setting, hours_of(setting))]
    assert spans[0].from_at - setting.sun.up[0].from_at < timedelta(minutes=5)
    assert setting.sun.up[0].until_at - spans[-1].until_at < timedelta(minutes=5)
    assert all(one.until_at == other.from_at for one, other in pairwise(spans))


def test_a_glance_of_the_sun_is_not_told():
    north = south(window=Window(0, 1.8, 0.9, 2.4))
    assert window_day(north.window, north.table, north.sun).on_glass  # two minutes after sunrise at the equinox
    assert hours_of(north).on_glass == ()


def test_a_shot_from_above_is_told_from_the_cooks_side():
    assert clock_for_cook(replace(south(), cook_hour=6), 180) == 12  # the cook faces the window
    assert clock_for_cook(replace(south(), cook_hour=12), 180) == 6
    assert clock_for_cook(replace(south(), cook_hour=3), 180) == 3
    assert clock_for_cook(replace(south(), cook_hour=9), 180) == 9


def test_three_moments_of_a_day():
    sun = sun_day(LINDHAFEN, date(2026, 11, 28))
    first, noon, last = three_moments(sun)
    assert sun.up[0].from_at < first < noon < last < sun.up[0].until_at
    assert all(sun.minute_of(each) % 15 == 0 for each in (first, noon, last))
    assert abs(noon - sun.noon_at) < timedelta(minutes=8)


def test_three_moments_in_polar_day_and_night():
    assert len(three_moments(sun_day(TROMSO, date(2027, 6, 21)))) == 3
    winter = sun_day(TROMSO, date(2027, 12, 21))
    assert all(winter.twilight[0].holds(each) for each in three_moments(winter))
    assert three_moments(sun_day(Place(90, 0, "Etc/UTC"), date(2027, 12, 21))) == ()


def test_lights_are_drawn_back_to_side():
    assert [light for light, _ in stretches(south(LAMP), None)[0].places] == [Light.BACK, Light.BACK_SIDE, Light.SIDE]
