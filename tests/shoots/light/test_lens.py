from math import inf

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shoots.light import lens


@pytest.mark.parametrize(
    "asked",
    [
        lambda: lens.magnification(24, 0),
        lambda: lens.hyperfocal(0, 8, 0.03),
        lambda: lens.hyperfocal(50, 0, 0.03),
        lambda: lens.lens_to_subject(50, 0),
        lambda: lens.pixel_pitch(36, 0),
        lambda: lens.falling_speed(-1),
    ],
)
def test_what_no_lens_has_is_refused(asked):
    with pytest.raises(lens.InvalidLens):
        asked()


def test_a_close_shot_needs_more_light():
    assert lens.effective_f_number(8, 0.25) == 10


def test_what_stands_still_needs_no_shutter():
    assert lens.shutter_for(0.03, 0, 0.1) == inf
    assert lens.shutter_words(inf) == "any"


@pytest.mark.parametrize(
    ("seconds", "words"),
    [(1 / 250, "1/250 s"), (1 / 15140, "1/15,200 s"), (2, "2 s"), (1 / 3, "1/3 s"), (0.004, "1/250 s")],
)
def test_a_shutter_is_said_as_photographers_say_it(seconds, words):
    assert lens.shutter_words(seconds) == words


@given(st.floats(10, 300), st.floats(30, 5000))
def test_the_two_distances_differ_by_the_lens(focal, subject):
    m = lens.magnification(24, subject)
    assert lens.sensor_to_subject(focal, m) == pytest.approx(lens.lens_to_subject(focal, m) + focal * (1 + m))


@given(st.floats(10, 300), st.floats(1.4, 32), st.floats(30, 3000))
def test_what_is_sharp_lies_round_the_subject(focal, stop, subject):
    u = lens.lens_to_subject(focal, lens.magnification(24, subject))
    hyper = lens.hyperfocal(focal, stop, 0.03)
    assert lens.near_limit(focal, u, hyper) < u < lens.far_limit(focal, u, hyper)


@given(st.floats(10, 200), st.floats(50, 2000), st.floats(100, 4000))
def test_a_lens_that_fits_has_room_to_spare(focal, subject, room):
    found = lens.reach(lens.SENSORS["full"], focal, subject, room)
    assert (found.fits == lens.TOO_LONG) == (found.sensor > room)
    assert (found.fits == lens.FITS) == (found.sensor * 1.05 <= room)
