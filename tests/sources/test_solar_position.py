"""The sun against the outside world.

Worked example of NREL/TP-560-34302 (Reda and Andreas, Solar Position Algorithm for Solar Radiation Applications): 17 October 2003,
12:30:30 at UTC-7, 39.742476 N 105.1786 W: zenith 50.11162, azimuth 194.34024, refraction included. The report itself was not read here;
its values were recomputed with the reference library pvlib. Held to 0.02 degrees.

Noon heights: 90 - |latitude - declination|, with the declination at solstices and equinox from memory (+23.44, 0, -23.44). Held to 0.1
degrees at the solstices; to 0.2 at the equinox, whose hour is some hours off noon while the declination changes by 0.4 a day.

Rise and set: worked by hand from cos H = (sin -50' - sin latitude sin declination) / (cos latitude cos declination), the upper limb on
the horizon being 50' below it (16' of half width, 34' of refraction: the usual convention of almanacs), with the equation of time from
memory (20 March -7.5, 21 June -1.8, 21 December +1.9 minutes). Held to a minute and a half.
"""

from datetime import UTC, date, datetime, timedelta, timezone

import pytest

from shoots.light.sun import Place, sun_day, sun_position


def test_the_worked_example_of_the_solar_position_algorithm():
    golden = Place(39.742476, -105.1786, "America/Denver")
    sun = sun_position(golden, datetime(2003, 10, 17, 12, 30, 30, tzinfo=timezone(timedelta(hours=-7))))
    assert 90 - sun.elevation == pytest.approx(50.11162, abs=0.02)
    assert sun.azimuth == pytest.approx(194.34024, abs=0.02)


@pytest.mark.parametrize(
    ("latitude", "day", "height", "within"),
    [
        (45.764, date(2027, 6, 21), 67.68, 0.1),
        (45.764, date(2027, 3, 20), 44.24, 0.2),
        (45.764, date(2027, 12, 21), 20.80, 0.1),
        (-33.9, date(2027, 12, 21), 79.54, 0.1),
        (-33.9, date(2027, 6, 21), 32.66, 0.1),
        (0.0, date(2027, 3, 20), 90.0, 0.2),
        (66.0, date(2027, 12, 21), 0.56, 0.1),
    ],
)
def test_the_noon_height_of_solstice_and_equinox(latitude, day, height, within):
    sun = sun_day(Place(latitude, 4.8357, "Etc/UTC"), day)
    assert sun_position(sun.place, sun.noon_at).true_elevation == pytest.approx(height, abs=within)


def test_the_sun_stands_due_south_or_north_at_noon():
    for latitude, due in ((45.764, 180.0), (-33.9, 0.0)):
        sun = sun_day(Place(latitude, 4.8357, "Etc/UTC"), date(2027, 12, 21))
        away = (sun_position(sun.place, sun.noon_at).azimuth - due + 180) % 360 - 180
        assert abs(away) < 0.3


@pytest.mark.parametrize(
    ("day", "rise", "set_"),
    [
        (date(2027, 3, 20), "06:44:20", "18:52:40"),
        (date(2027, 6, 21), "05:50:54", "21:34:06"),
        (date(2027, 12, 21), "08:18:48", "16:58:48"),
    ],
)
def test_rise_and_set_of_three_days_in_lyon(day, rise, set_):
    sun = sun_day(Place(45.764, 4.8357, "Europe/Paris"), day)
    (up,) = sun.up
    for at, shown in ((up.from_at, rise), (up.until_at, set_)):
        expected = (
            datetime.strptime(f"{day} {shown}", "%Y-%m-%d %H:%M:%S").replace(tzinfo=sun.place.zone).astimezone(UTC)
        )
        assert abs(at - expected) <= timedelta(seconds=90)
