from dataclasses import replace
from math import inf

import pytest

from shoots.light.lens import SENSORS
from shoots.light.lens_answers import (
    FALLING,
    MOVING,
    STILL,
    Question,
    depth_answers,
    distance_answers,
    fits_words,
    mm,
    motion_answers,
    other_lines,
    overhead_words,
    print_answers,
    reach_of,
)

PLATE = Question(SENSORS["full"], 50, 8, 280, 35, 2400, 900, 110, 8256, FALLING, fall=200, speed=500)


def figures(answers):
    return {each.name: each.figure for each in answers}


def test_a_plate_from_above_with_its_sums():
    found = figures(distance_answers(PLATE))
    assert found == {
        "In the picture": "378 mm × 567 mm",
        "Magnification": "0.0635",
        "Lens to subject": "838 mm",
        "Sensor to subject": "891 mm",
        "Field, long side": "37.4°",
        "Room for an overhead camera": "1,390 mm",
    }
    assert distance_answers(PLATE)[-1].sum == "ceiling − table − camera and arm = 2,400 − 900 − 110 mm"


def test_depth_and_print():
    assert figures(depth_answers(PLATE)) == {
        "Sharp, close up": "127 mm",
        "Sharp from": "779 mm to 906 mm",
        "Hyperfocal": "10.47 m",
        "Light that arrives": "as f/8.5",
    }
    assert figures(print_answers(PLATE))["Largest print"] == "699 × 466 mm"


def test_a_pour_and_its_shutter():
    found = figures(motion_answers(PLATE))
    assert found["It falls at"] == "1.98 m/s"
    assert found["Blur at 1/250 s"] == "115.4 pixels"
    assert found["Looks frozen at"] == "1/4,200 s"
    assert "It falls at" not in figures(motion_answers(replace(PLATE, motion=MOVING)))
    assert motion_answers(replace(PLATE, motion=STILL)) == ()


def test_what_fits_under_the_ceiling():
    assert fits_words(reach_of(PLATE), PLATE.room) == "Fits, with 499 mm to spare"
    long = replace(PLATE, focal_length=90)
    assert fits_words(reach_of(long), long.room).startswith("Too long by 213 mm")
    low = replace(PLATE, ceiling=1800)
    assert low.room == 790
    assert fits_words(reach_of(low), low.room).startswith("Too long")
    tight = replace(PLATE, ceiling=1920)
    assert fits_words(reach_of(tight), tight.room).startswith("Barely")
    none = replace(PLATE, ceiling=1000)
    assert fits_words(reach_of(none), none.room) == "No room above the table at all"
    assert figures(distance_answers(none))["Room for an overhead camera"] == "none"


def test_other_lenses_for_the_same_picture():
    assert [(each.focal_length, each.sensor, each.fits) for each in other_lines(PLATE)][1:3] == [
        (35, "623 mm", "Fits"),
        (50, "891 mm", "Fits"),
    ]
    assert other_lines(PLATE)[-1].is_too_long


def test_millimetres_as_they_are_said():
    assert [mm(each) for each in (9.6, 126.6, 1602.8, 10467, inf)] == [
        "9.6 mm",
        "127 mm",
        "1,603 mm",
        "10.47 m",
        "without end",
    ]


@pytest.mark.parametrize(
    ("distance", "ceiling", "says"),
    [
        ("", 2400, "Under this ceiling lenses up to 70 mm on 36 × 24 mm or 50 mm on 23.5 × 15.6 mm fit."),
        ("tight", 2400, "Under this ceiling lenses up to 105 mm fit."),
        ("wide", 2400, "Under this ceiling lenses up to 35 mm on 36 × 24 mm or 24 mm on 23.5 × 15.6 mm fit."),
        ("wide", 1900, "Under this ceiling lenses up to 24 mm on 36 × 24 mm fit."),
        ("wide", 1200, "No usual lens fits under a ceiling of 120 cm: lower the table."),
    ],
)
def test_the_longest_lens_above_the_table(distance, ceiling, says):
    assert overhead_words(distance, ceiling=ceiling, table=900) == says
