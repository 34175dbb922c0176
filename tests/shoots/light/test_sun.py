import itertools
from datetime import UTC, date, datetime, time, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shoots.light.sun import InvalidPlace, Place, Span, sun_day, sun_position

LINDHAFEN = Place(54.35, 10.16, "Europe/Berlin")
TROMSO = Place(69.65, 18.96, "Europe/Oslo")


def clocks(sun, spans):
    return [(f"{sun.clock(each.from_at):%H:%M}", f"{sun.clock(each.until_at):%H:%M}") for each in spans]


@pytest.mark.parametrize(
    ("place", "says"),
    [
        ((91, 0, "Etc/UTC"), "latitude"),
        ((0, 181, "Etc/UTC"), "longitude"),
        ((0, 0, "Europe/Lindhafen"), "time zone"),
        ((0, 0, "../etc"), "time zone"),
    ],
)
def test_a_place_that_is_none_is_refused(place, says):
    with pytest.raises(InvalidPlace, match=says):
        Place(*place)


def test_a_day_in_november_by_the_kitchens_clock():
    sun = sun_day(LINDHAFEN, date(2026, 11, 28))
    (up,), (twilight,) = sun.up, sun.twilight
    assert twilight.from_at < up.from_at < sun.noon_at < up.until_at < twilight.until_at
    assert sun.minutes == 1440
    assert timedelta(minutes=35) < up.from_at - twilight.from_at < timedelta(minutes=50)


def test_polar_day_and_polar_night():
    summer, winter = sun_day(TROMSO, date(2027, 6, 21)), sun_day(TROMSO, date(2027, 12, 21))
    assert summer.is_polar_day
    assert not summer.is_polar_night
    assert summer.up == (Span(summer.begins_at, summer.ends_at),)
    assert winter.is_polar_night
    assert len(winter.twilight) == 1  # the sun stays down, but a noon of twilight is left
    pole = sun_day(Place(90, 0, "Etc/UTC"), date(2027, 12, 21))
    assert pole.up == pole.twilight == ()


def test_where_the_sun_sets_after_midnight_a_day_has_two_spans():
    sun = sun_day(Place(65.5, 25.0, "Europe/Helsinki"), date(2027, 6, 12))
    assert len(sun.up) == 2
    assert sun.up[0].from_at == sun.begins_at
    assert sun.up[1].until_at == sun.ends_at


def test_the_days_the_clocks_change_have_23_and_25_hours():
    spring, autumn = sun_day(LINDHAFEN, date(2027, 3, 28)), sun_day(LINDHAFEN, date(2027, 10, 31))
    assert (spring.minutes, autumn.minutes) == (23 * 60, 25 * 60)
    before = sun_day(LINDHAFEN, date(2027, 3, 27))
    moved = spring.clock(spring.up[0].from_at).replace(tzinfo=None) - before.clock(before.up[0].from_at).replace(
        tzinfo=None
    )
    assert timedelta(days=1, minutes=55) < moved < timedelta(days=1, minutes=60)
    assert spring.at_clock(time(12)) == datetime(2027, 3, 28, 10, tzinfo=UTC)
    assert spring.minute_of(spring.at_clock(time(12))) == 11 * 60
    assert f"{spring.clock(spring.after_midnight(11 * 60)):%H:%M}" == "12:00"


def test_south_of_the_equator_the_sun_goes_through_the_north():
    sun = sun_day(Place(-33.9, 18.4, "Africa/Johannesburg"), date(2027, 12, 21))
    assert clocks(sun, sun.up)[0][0] < "06:00"
    noon = sun_position(sun.place, sun.noon_at).azimuth
    assert min(noon, 360 - noon) < 2
    morning, evening = (sun_position(sun.place, sun.noon_at + timedelta(hours=each)) for each in (-3, 3))
    assert 0 < morning.azimuth < 180 < evening.azimuth < 360


@given(
    st.floats(-90, 90),
    st.floats(-180, 180),
    st.dates(date(2020, 1, 1), date(2040, 12, 31)),
    st.sampled_from(["Etc/UTC", "Pacific/Kiritimati", "America/St_Johns", "Australia/Lord_Howe"]),
)
def test_a_day_is_whole_whatever_the_place(latitude, longitude, day, zone):
    sun = sun_day(Place(latitude, longitude, zone), day)
    for spans in (sun.up, sun.twilight):
        assert all(sun.begins_at <= each.from_at < each.until_at <= sun.ends_at for each in spans)
        assert all(one.until_at < other.from_at for one, other in itertools.pairwise(spans))
    assert all(any(t.from_at <= up.from_at and up.until_at <= t.until_at for t in sun.twilight) for up in sun.up)
    assert all(0 <= each.azimuth < 360 and -90.01 <= each.elevation <= 90.6 for each in sun.path)
    assert sun.noon_elevation >= max(each.elevation for each in sun.path) - 0.01
