"""Worked values of thin-lens optics: hyperfocal distance and limits as in any optics text, e.g. Greenleaf, Photographic Optics, 1950.

The figures were worked by hand from the equations before the code was written; g = 9.80665 m/s² is the standard value of CGPM 1901
(from memory).
"""

from math import inf

import pytest

from shoots.light import lens

FULL, SMALL = lens.SENSORS["full"], lens.SENSORS["small"]


@pytest.mark.parametrize(("side", "focal", "degrees"), [(36, 50, 39.60), (24, 50, 26.99), (36, 35, 54.43)])
def test_field_angles(side, focal, degrees):
    assert lens.field_angle(side, focal) == pytest.approx(degrees, abs=0.005)


@pytest.mark.parametrize(("focal", "stop", "metres"), [(50, 8, 10.467), (35, 11, 3.747)])
def test_hyperfocal_distances(focal, stop, metres):
    assert lens.hyperfocal(focal, stop, 0.03) / 1000 == pytest.approx(metres, abs=0.0005)


@pytest.mark.parametrize(
    ("sensor", "focal", "to_lens", "to_sensor"),
    [(FULL, 50, 838, 891), (FULL, 35, 586, 623), (FULL, 90, 1508, 1603), (SMALL, 50, 1262, 1314)],
)
def test_a_plate_of_28_cm_from_above(sensor, focal, to_lens, to_sensor):
    found = lens.reach(sensor, focal, 280 * 1.35, 1390)
    assert found.lens == pytest.approx(to_lens, abs=0.5)
    assert found.sensor == pytest.approx(to_sensor, abs=0.5)


def test_magnification_and_the_long_side_of_the_plate():
    assert lens.magnification(24, 378) == pytest.approx(0.06349, abs=0.000005)
    assert lens.magnification(15.6, 378) == pytest.approx(0.04127, abs=0.000005)
    assert lens.reach(FULL, 50, 378, 1390).long_side == pytest.approx(567, abs=0.5)


def test_under_a_ceiling_of_240_cm():
    room = lens.room_above(2400, 900, 110)
    assert room == 1390
    fits = [lens.reach(sensor, focal, 378, room).fits for sensor, focal in ((FULL, 50), (SMALL, 50), (FULL, 90))]
    assert fits == ["fits", "fits", "too long"]
    assert lens.reach(FULL, 50, 378, 900).fits == "barely"  # 891 mm, and real lenses differ by 5 %
    scene = lens.reach(FULL, 35, 720, room)
    assert scene.sensor == pytest.approx(1121, abs=0.5)
    assert scene.fits == "fits"


def test_depth_at_a_plate():
    hyper = lens.hyperfocal(50, 8, 0.03)
    assert lens.near_limit(50, 837.5, hyper) == pytest.approx(779, abs=1)
    assert lens.far_limit(50, 837.5, hyper) == pytest.approx(906, abs=1)
    assert lens.depth_close_up(8, 0.03, 24 / 378) == pytest.approx(126.6, abs=0.05)
    assert lens.depth_close_up(8, 0.03, 0.25) == pytest.approx(9.6, abs=0.005)
    assert lens.far_limit(50, 10_500, hyper) == inf


@pytest.mark.parametrize(("metres", "speed"), [(0.20, 1.981), (0.10, 1.400)])
def test_a_pour_that_falls(metres, speed):
    assert lens.falling_speed(metres) == pytest.approx(speed, abs=0.0006)


def test_the_blur_of_a_pour_and_the_shutter_that_stops_it():
    pitch = lens.pixel_pitch(36, 8256)
    assert pitch * 1000 == pytest.approx(4.360, abs=0.0006)
    assert lens.blur_pixels(1981, 1 / 250, 0.1, pitch) == pytest.approx(181.7, abs=0.05)
    assert lens.blur_pixels(1981, 1 / 1000, 0.1, pitch) == pytest.approx(45, abs=0.5)
    assert 1 / lens.shutter_for(3 * pitch, 1981, 0.1) == pytest.approx(15_140, abs=10)
    assert 1 / lens.shutter_for(0.03, 1981, 0.1) == pytest.approx(6_600, abs=10)


def test_pixels_for_print():
    assert (lens.print_pixels(210), lens.print_pixels(297)) == (2480, 3508)
    assert (lens.print_pixels(216), lens.print_pixels(303)) == (2551, 3579)
    assert lens.print_pixels(420) == 4961
    assert (round(lens.largest_print(8256)), round(lens.largest_print(5504))) == (699, 466)
