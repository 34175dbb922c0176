"""Worked values: thin-lens equations as in any optics text, e.g. Greenleaf, Photographic Optics, 1950; figures worked by hand beforehand."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shoots.light.lens import BARELY, FITS, SENSORS, TOO_LONG
from shoots.light.shot_lens import TOO_NEAR, Body, Glass, Room, ShotAsk, cm, fit_of, shot_lens, way_of

ROOM = Room(ceiling=2400, table=900)
FULL, SMALL = Body(SENSORS["full"], 8256), Body(SENSORS["small"], 6000)
PLATE = ShotAsk(angle="overhead", distance="medium")
MM35, MM50, MM90 = (Glass(f"{each} mm", each, each) for each in (35, 50, 90))


def test_what_each_distance_shows():
    assert [ShotAsk(distance=each).framed for each in ("tight", "medium", "wide", "")] == [120, 378, 720, 378]
    assert ShotAsk(distance="tight", frame=470).framed == 470


@pytest.mark.parametrize(
    ("glass", "body", "away", "fits"),
    [(MM50, FULL, 891, FITS), (MM50, SMALL, 1314, FITS), (MM90, FULL, 1603, TOO_LONG), (MM35, FULL, 623, FITS)],
)
def test_a_plate_from_above_under_a_ceiling_of_240_cm(glass, body, away, fits):
    """Room 2,400 − 900 − 110 = 1,390 mm. 1,314 mm with the 5 % that real lenses differ by are 1,380."""
    assert way_of("overhead", ROOM) == 1390
    found = fit_of(glass, PLATE, body, 1390)
    assert found.away == pytest.approx(away, abs=0.5)
    assert found.fits == fits


def test_what_fits_without_the_five_per_cent_is_barely():
    assert fit_of(MM50, PLATE, FULL, 900).fits == BARELY
    assert shot_lens(PLATE, Room(1910, 900), FULL, [MM50]).reach == "Barely, so try it before the day: 50 mm."


def test_a_lens_that_is_too_long_says_by_how_much():
    assert fit_of(MM90, PLATE, FULL, 1390).short_by == pytest.approx(1603 - 1390, abs=0.5)
    said = shot_lens(PLATE, ROOM, FULL, [MM35, MM50, MM90])
    assert said.reach == "Fits: 35 mm (sensor 62 cm away), 50 mm (89 cm). Too long: 90 mm, by 21 cm."
    assert not said.is_out_of_reach


def test_a_table_scene_of_720_mm_takes_35_mm():
    wide = ShotAsk(angle="overhead", distance="wide")
    assert fit_of(MM35, wide, FULL, 1390).away == pytest.approx(1121, abs=0.5)
    assert [each.fits for each in shot_lens(wide, ROOM, FULL, [MM35, MM50]).lenses] == [FITS, TOO_LONG]


def test_a_zoom_is_set_to_the_longest_that_fits():
    """1,390 ÷ 1.05 ÷ (2 + 0.0635 + 15.75) = 74.3 mm."""
    assert fit_of(Glass("24–105 mm", 24, 105), PLATE, FULL, 1390).focal == 74
    assert fit_of(Glass("24–70 mm", 24, 70), PLATE, FULL, 1390).focal == 70
    assert shot_lens(PLATE, ROOM, FULL, [Glass("24–105 mm", 24, 105)]).reach.startswith("Fits: 24–105 mm at 74 mm (")


def test_a_lens_that_does_not_focus_so_near_is_named():
    tight = ShotAsk(angle="overhead", distance="tight")
    near = Glass("50 mm", 50, 50, nearest=450)
    assert fit_of(near, tight, FULL, 1390).fits == TOO_NEAR
    said = shot_lens(tight, ROOM, FULL, [near])
    assert said.is_out_of_reach
    assert "Does not focus so near: 50 mm." in said.reach


def test_a_level_view_is_stopped_by_the_wall_behind():
    level = ShotAsk(angle="level", distance="medium")
    assert "The way back from the table is not measured." in shot_lens(level, ROOM, FULL, [MM90]).reach
    short = shot_lens(level, Room(2400, 900, behind=1200), FULL, [MM35, MM90])
    assert [each.fits for each in short.lenses] == [FITS, TOO_LONG]
    assert "not measured" not in short.reach


def test_a_three_quarter_view_is_stopped_by_ceiling_and_wall_on_the_slant():
    """Looking down at 40°: (2,400 − 900) ÷ sin 40° = 2,334 mm up; 1,000 ÷ cos 40° = 1,305 mm back."""
    assert way_of("three-quarter", ROOM) == pytest.approx(2334, abs=1)
    assert way_of("three-quarter", Room(2400, 900, behind=1000)) == pytest.approx(1305, abs=1)


def test_the_lens_the_person_fixed_is_the_one_that_is_told():
    fixed = ShotAsk(angle="overhead", distance="medium", focal=60)
    [only] = shot_lens(fixed, ROOM, FULL, [MM35, MM90]).lenses
    assert (only.name, only.focal) == ("60 mm", 60)
    [zoom] = shot_lens(fixed, ROOM, FULL, [MM35, Glass("24–70 mm", 24, 70)]).lenses
    assert (zoom.name, zoom.focal) == ("24–70 mm", 60)


def test_no_room_above_the_table():
    said = shot_lens(PLATE, Room(ceiling=1000, table=900), FULL, [MM35])
    assert said.reach == "No room above the table for a camera at all: lower the table."
    assert said.is_out_of_reach


def test_depth_at_a_plate_and_close():
    """2 N c (1 + m) ÷ m²: 126.6 mm at f/8 and m 24 ÷ 378; m 0.25 gives 9.6 mm."""
    assert shot_lens(PLATE, ROOM, FULL).depth == "Sharp over 13 cm at f/8."
    assert shot_lens(ShotAsk(frame=96), ROOM, FULL).depth == "Sharp over 10 mm at f/8."
    assert "f/5.6" in shot_lens(ShotAsk(stop=5.6), ROOM, FULL).depth


def test_a_pour_that_falls_20_cm_and_the_shutter_that_stops_it():
    """v = √(2 g h) = 1.981 m/s; at m 0.1 a smear of 0.03 mm takes 1/6,600 s."""
    pour = ShotAsk(frame=240, motion="freeze", action="pour")
    assert pour.speed == pytest.approx(1981, abs=0.6)
    assert shot_lens(pour, ROOM, FULL).movement == "What falls 20 cm looks frozen at 1/6,700 s."
    tight = ShotAsk(distance="tight", motion="freeze", action="pour")
    assert "by a short flash in a dark room" in shot_lens(tight, ROOM, FULL).movement


def test_a_hand_that_is_to_blur_draws_a_trail_of_a_twentieth():
    """0.05 × 378 mm ÷ 500 mm/s = 1/26.5 s."""
    whisk = ShotAsk(distance="medium", motion="blur", action="whisk")
    assert shot_lens(whisk, ROOM, FULL).movement == "A working hand draws a trail at 1/27 s."
    both = shot_lens(ShotAsk(distance="medium", motion="either", action="knead"), ROOM, FULL).movement
    assert both == "A working hand looks frozen at 1/1,100 s, draws a trail at 1/27 s."


@pytest.mark.parametrize(
    ("motion", "shutter", "says"),
    [
        ("freeze", 1 / 250, "1/250 s blurs it 26 times as far as looks sharp."),
        ("freeze", 1 / 8000, "1/8,000 s does that."),
        ("blur", 1 / 1000, "1/1,000 s is too short for a trail."),
        ("blur", 1 / 125, "1/125 s does that."),
    ],
)
def test_the_shutter_that_was_fixed_is_judged(motion, shutter, says):
    ask = ShotAsk(frame=240, motion=motion, action="pour", shutter=shutter)
    assert shot_lens(ask, ROOM, FULL).movement.endswith(says)


def test_where_nothing_moves_nothing_is_said():
    assert shot_lens(PLATE, ROOM, FULL).movement == ""


def test_lengths_as_they_are_said():
    assert [cm(each) for each in (9.6, 62.3, 891, 1121)] == ["10 mm", "6 cm", "89 cm", "1.12 m"]


@given(st.integers(8, 400), st.floats(20, 2000), st.floats(200, 4000))
def test_a_lens_that_fits_leaves_the_five_per_cent(focal, frame, way):
    found = fit_of(Glass("any", focal, focal), ShotAsk(frame=frame), FULL, way)
    assert (found.fits == TOO_LONG) == (found.away > way)
    assert (found.fits == FITS) == (found.away * 1.05 <= way)


def test_a_fixed_shutter_between_frozen_and_trail_does_neither():
    """Of a plate: frozen at 1/1,058 s, a trail at 1/26 s. 1/125 s smears 8.5 times as far as looks sharp, and draws no trail."""
    ask = ShotAsk(distance="medium", motion="either", action="knead", shutter=1 / 125)
    assert shot_lens(ask, ROOM, FULL).movement.endswith(" 1/125 s does neither.")
    for shutter, said in ((1 / 2000, "1/2,000 s freezes it."), (1 / 30, "1/30 s draws the trail.")):
        assert shot_lens(replace(ask, shutter=shutter), ROOM, FULL).movement.endswith(f" {said}")


def test_where_every_lens_stands_too_near_the_way_out_is_to_show_more():
    near = Glass("50 mm", 50, 50, nearest=450)
    said = shot_lens(ShotAsk(angle="overhead", distance="tight"), ROOM, FULL, [near])
    assert said.is_out_of_reach
    assert said.reach.endswith("Show more, or take a lens that focuses nearer.")
