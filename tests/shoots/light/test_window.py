import itertools
from datetime import date, datetime, timedelta
from math import radians, tan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shoots.light.sun import Place, Span, SunPosition, sun_day, sun_position
from shoots.light.window import (
    InvalidWindow,
    Table,
    Window,
    WindowDay,
    hides_all_sun,
    incidence,
    is_on_glass,
    profile,
    shaded,
    sun_patch,
    table_margin,
    turn,
    window_day,
    without,
)

LYON = Place(45.764, 4.8357, "Europe/Paris")
TABLE = Table(height=0.9, distance=0.6, depth=0.8, width=1.4)


def facing(bearing, **also):
    return Window(**{"bearing": bearing, "width": 1.2, "sill": 0.9, "head": 2.1, **also})


def sun_at(azimuth, elevation):
    return SunPosition(azimuth, elevation, elevation)


def clocks(sun, spans):
    return [(f"{sun.clock(each.from_at):%H:%M}", f"{sun.clock(each.until_at):%H:%M}") for each in spans]


def near(found, expected, minutes=1):
    """Clock times within so many minutes."""
    as_minutes = [int(each[:2]) * 60 + int(each[3:]) for pair in (*found, *expected) for each in pair]
    half = len(as_minutes) // 2
    return len(found) == len(expected) and all(
        abs(one - other) <= minutes for one, other in zip(as_minutes[:half], as_minutes[half:], strict=True)
    )


# Worked days of Lyon, measured with astral 3.2 and the formulas above by a script of ours before this code was written.
@pytest.mark.parametrize(
    ("bearing", "day", "on_glass"),
    [
        (135, date(2027, 3, 20), [("06:46", "15:10")]),
        (270, date(2027, 6, 21), [("13:43", "21:32")]),
        (180, date(2027, 12, 21), [("08:21", "16:56")]),
    ],
)
def test_the_sun_on_the_glass_in_lyon(bearing, day, on_glass):
    sun = sun_day(LYON, day)
    assert near(clocks(sun, window_day(facing(bearing), TABLE, sun).on_glass), on_glass)


@pytest.mark.parametrize(
    ("bearing", "day", "clock", "azimuth", "elevation", "angle", "height"),
    [
        (135, date(2027, 3, 20), "10:00", 128.58, 31.07, 31.66, 31.23),
        (135, date(2027, 3, 20), "12:00", 163.46, 42.89, 49.90, 46.57),
        (270, date(2027, 6, 21), "16:00", 242.92, 54.42, 58.80, 57.50),
        (180, date(2027, 12, 21), "12:00", 170.57, 20.29, 22.29, 20.55),
        (180, date(2027, 12, 21), "14:00", 199.64, 18.42, 26.67, 19.47),
    ],
)
def test_incidence_and_profile_angle_at_an_hour(bearing, day, clock, azimuth, elevation, angle, height):
    sun = sun_position(LYON, datetime.fromisoformat(f"{day} {clock}").replace(tzinfo=LYON.zone))
    assert (sun.azimuth, sun.elevation) == (pytest.approx(azimuth, abs=0.02), pytest.approx(elevation, abs=0.02))
    assert incidence(facing(bearing), sun) == pytest.approx(angle, abs=0.02)
    assert profile(facing(bearing), sun) == pytest.approx(height, abs=0.02)


@pytest.mark.parametrize(
    ("bearing", "day", "clock"), [(135, date(2027, 3, 20), "16:00"), (270, date(2027, 6, 21), "12:00")]
)
def test_no_sun_from_behind_the_wall(bearing, day, clock):
    sun = sun_position(LYON, datetime.fromisoformat(f"{day} {clock}").replace(tzinfo=LYON.zone))
    assert not is_on_glass(facing(bearing), sun)
    assert sun_patch(facing(bearing), 0.9, sun) is None


def test_the_patch_at_ten_in_march():
    patch = sun_patch(facing(135), 0.9, sun_at(128.58, 31.07))
    assert (patch.near, patch.far) == (0.0, pytest.approx(1.98, abs=0.005))
    assert patch.drift == pytest.approx(tan(radians(-6.42)), abs=0.001)


def test_a_sill_above_the_table_keeps_the_patch_off_the_wall():
    patch = sun_patch(facing(180, sill=1.2, head=2.0), 0.75, sun_at(180, 45))
    assert (patch.near, patch.far) == (pytest.approx(0.45), pytest.approx(1.25))


def test_an_overhang_shades_the_glass_from_the_top():
    window = facing(180, overhang_depth=1.0, overhang_above=0.3)
    assert shaded(window, sun_at(180, 45)) == pytest.approx(0.7)
    assert sun_patch(window, 0.9, sun_at(180, 45)).far == pytest.approx(0.5)
    assert shaded(window, sun_at(180, 10)) == 0
    assert sun_patch(window, 0.9, sun_at(180, 60)) is None  # all of the glass lies in the shade


def test_a_building_across_hides_the_low_sun():
    window = facing(180, building_degrees=25)
    assert not is_on_glass(window, sun_at(180, 24.9))
    assert is_on_glass(window, sun_at(180, 25.1))
    sun = sun_day(LYON, date(2027, 12, 21))
    assert window_day(window, TABLE, sun).on_glass == ()
    assert hides_all_sun(window, sun)
    assert not hides_all_sun(facing(180, building_degrees=15), sun)
    assert not hides_all_sun(facing(0), sun)  # a north window needs no building for that


def test_a_patch_that_drifts_past_the_table_is_not_on_it():
    straight, aslant = sun_at(180, 40), sun_at(250, 20)
    assert table_margin(facing(180), TABLE, straight) > 0
    assert table_margin(facing(180), TABLE, aslant) < 0
    beside = Table(height=0.9, distance=0.6, depth=0.8, width=1.4, aside=-2.0)
    assert table_margin(facing(180), beside, straight) < 0
    assert table_margin(facing(180), beside, aslant) > 0  # a sun from the right falls to the left


def test_a_table_beyond_the_patch_stays_soft():
    far = Table(height=0.9, distance=2.5, depth=0.8, width=1.4)
    assert table_margin(facing(180), far, sun_at(180, 45)) < 0
    sun = sun_day(LYON, date(2027, 6, 21))
    hours = window_day(facing(180), far, sun)
    assert hours.on_glass
    assert hours.hard == ()
    assert hours.soft == sun.up


def test_soft_and_hard_make_up_the_time_the_sun_is_up():
    sun = sun_day(LYON, date(2027, 3, 20))
    hours = window_day(facing(135), TABLE, sun)
    (hard,) = hours.hard
    assert hours.on_glass[0].from_at <= hard.from_at < hard.until_at <= hours.on_glass[0].until_at
    spans = sorted((*hours.soft, *hours.hard), key=lambda each: each.from_at)
    assert spans[0].from_at == sun.up[0].from_at
    assert spans[-1].until_at == sun.up[0].until_at
    assert all(one.until_at == other.from_at for one, other in itertools.pairwise(spans))


@pytest.mark.parametrize(
    "wrong",
    [{"bearing": 360}, {"head": 0.9}, {"sill": -1}, {"width": 0}, {"overhang_depth": -1}, {"building_degrees": 91}],
)
def test_a_window_that_cannot_be_is_refused(wrong):
    with pytest.raises(InvalidWindow):
        facing(**{"bearing": 180, **wrong})


def test_a_table_that_cannot_be_is_refused():
    with pytest.raises(InvalidWindow):
        Table(height=0.9, distance=0.6, depth=0, width=1)


@given(st.floats(-1080, 1080))
def test_a_turned_angle_is_the_same_angle(angle):
    assert -180 <= turn(angle) <= 180
    assert (turn(angle) - angle) / 360 == pytest.approx(round((turn(angle) - angle) / 360), abs=1e-9)


@given(st.floats(0, 359), st.floats(0, 359.9), st.floats(0.5, 89), st.floats(0, 1), st.floats(0.5, 3))
def test_the_patch_is_where_a_ray_through_the_head_meets_the_table(bearing, azimuth, elevation, sill, tall):
    """Slow and obvious: walk along the ray in three dimensions."""
    window = Window(bearing, 1.2, sill, sill + tall)
    sun = sun_at(azimuth, elevation)
    patch = sun_patch(window, 0.75, sun)
    if not is_on_glass(window, sun) or sill + tall <= 0.75:
        assert patch is None
        return
    flat = (sill + tall - 0.75) / tan(radians(elevation))  # along the ground
    beside = radians(azimuth - bearing)
    from math import cos, sin

    assert patch.far == pytest.approx(flat * cos(beside), rel=1e-6, abs=1e-9)
    assert patch.far * patch.drift == pytest.approx(flat * sin(beside), rel=1e-6, abs=1e-9)


def test_without_leaves_what_is_not_taken():
    at = lambda hour: datetime(2027, 1, 1, hour, tzinfo=LYON.zone)  # noqa: E731  read better in one line
    whole = (Span(at(8), at(17)),)
    assert without(whole, (Span(at(9), at(10)), Span(at(16), at(18)))) == (Span(at(8), at(9)), Span(at(10), at(16)))
    assert without(whole, (Span(at(7), at(18)),)) == ()
    assert without(whole, ()) == whole


def test_south_of_the_equator_the_north_window_has_the_noon_sun():
    sun = sun_day(Place(-33.9, 18.4, "Africa/Johannesburg"), date(2027, 6, 21))
    (north,) = window_day(facing(0), TABLE, sun).on_glass
    assert north.holds(sun.noon_at)
    assert window_day(facing(180), TABLE, sun).on_glass == ()


def test_in_the_polar_day_the_sun_comes_in_at_midnight_too():
    sun = sun_day(Place(78.2, 15.6, "Europe/Oslo"), date(2027, 6, 21))
    first, last = window_day(facing(0), TABLE, sun).on_glass
    assert (first.from_at, last.until_at) == (sun.begins_at, sun.ends_at)
    (middle,) = window_day(facing(180), TABLE, sun).on_glass
    assert middle.holds(sun.noon_at)


def test_in_the_polar_night_there_is_none():
    sun = sun_day(Place(78.2, 15.6, "Europe/Oslo"), date(2027, 12, 21))
    assert window_day(facing(180), TABLE, sun) == WindowDay((), (), ())


@pytest.mark.parametrize(("day", "hours"), [(date(2027, 3, 28), 23), (date(2027, 10, 31), 25)])
def test_on_the_day_the_clocks_change_the_hours_are_those_that_pass(day, hours):
    """The sun does not know the clock: on the glass as long as the day before, but for the season's few minutes."""
    before, changed = (
        sum(
            (each.until_at - each.from_at).total_seconds()
            for each in window_day(facing(180), TABLE, sun_day(LYON, on)).on_glass
        )
        for on in (day - timedelta(days=1), day)
    )
    assert abs(changed - before) < 600
    assert sun_day(LYON, day).minutes == hours * 60
