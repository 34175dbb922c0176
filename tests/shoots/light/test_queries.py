from datetime import date, time

import pytest

from shoots.light import queries
from shoots.light.actions import set_light
from shoots.light.queries import (
    ask_of,
    day_of_light,
    lens_groups,
    light_shoot,
    new_lights,
    out_of_reach,
    own_kit,
    planned_shots,
    sensor_of,
)
from shoots.light.shot_lens import USUAL_BODY, USUAL_LENSES
from tests.factories.kit import CameraFactory, OwnLensFactory
from tests.factories.light import lit_shoot, set_up
from tests.factories.plan import ShotFactory
from tests.factories.shoots import DishFactory

pytestmark = pytest.mark.django_db


def read(shoot, day=date(2026, 11, 14)):
    shoot = queries.light_shoot(shoot.pk).get()
    return shoot, queries.day_of_light(shoot, day)


def test_a_kitchen_with_a_window_and_a_position():
    shoot, light = read(lit_shoot(windows=2))
    assert light.missing == ()
    assert light.headline.startswith("Hard sun on the table")
    assert [(each.name, each.looks, each.is_chosen) for each in light.windows] == [
        ("Window 1", "south, 180°", True),
        ("Window 2", "west, 270°", False),
    ]
    assert light.windows[0].measures == "180 cm wide, 90 to 240 cm above the floor"
    assert light.windows[0].reach.startswith("At the height of the table it lies 0.0 to ")
    assert light.windows[0].table.startswith("Hard from ")
    assert light.stray.startswith("Sun also falls in at Window 2 from ")
    assert not queries.plan_of(shoot).pk


def test_the_table_stands_where_it_was_put():
    shoot = lit_shoot(windows=2)
    set_up(shoot, window_bearing=270, sill_cm=100, head_cm=200)
    shoot, light = read(shoot)
    assert light.setting.up == 270
    assert (light.setting.window.sill, light.setting.window.head) == (1.0, 2.0)
    shoot.kitchen.windows.filter(bearing_degrees=270).delete()
    assert read(shoot)[1].setting.up == 180  # the window is gone: the first one is taken


def test_each_window_is_reckoned_with_its_own_measures():
    shoot = lit_shoot(windows=2)
    set_light(shoot, values={}, windows={(270, 1): {"building_degrees": 90}}, version=1)
    _, light = read(shoot)
    south, west = light.windows
    assert south.glass != west.glass == "None: hidden by what stands opposite"
    assert (west.table, west.reach, light.stray) == ("Little light all day.", "", "")
    assert west.measures.endswith("faces a wall, 90° high")
    set_light(shoot, values={"window_bearing": 270}, version=2)
    assert read(shoot)[1].headline.startswith("The window faces a wall: no sun, and little light, from ")


def test_a_new_shoot_begins_with_the_table_as_it_stood_at_the_last_one_here():
    before, shoot = lit_shoot(windows=2), lit_shoot(windows=0)
    set_up(before, kind="overcast", table_cm=75, window_bearing=270)
    shoot.kitchen = before.kitchen
    shoot.save()
    plan = read(shoot)[1].plan
    assert (plan.pk, plan.table_cm, plan.window_bearing, plan.kind) == (None, 75, 270, "daylight")
    assert plan.as_last_here


def test_what_was_not_measured_is_said():
    shoot = lit_shoot()
    shoot.kitchen.windows.update(width_cm=None, height_cm=None)
    assert read(shoot)[1].windows[0].measures.endswith("; not measured, so assumed")


@pytest.mark.parametrize(
    ("also", "missing"),
    [
        ({"kitchen": None}, ("no kitchen is chosen",)),
        ({"kitchen__latitude": None}, ("the kitchen’s position is not written down",)),
        ({"kitchen__time_zone": "Europe/Lindhafen"}, ("the kitchen’s position or time zone cannot be",)),
    ],
)
def test_what_is_not_known_is_named(also, missing):
    windows = 0 if "kitchen" in also else 1
    place = {} if windows else dict.fromkeys(["kitchen__latitude", "kitchen__longitude", "kitchen__time_zone"])
    shoot = lit_shoot(windows=windows, **also) if not place else lit_shoot_without_a_kitchen()
    light = read(shoot)[1]
    assert light.missing == missing
    assert light.setting.sun is None


def lit_shoot_without_a_kitchen():
    shoot = lit_shoot()
    shoot.kitchen = None
    shoot.save()
    return shoot


def test_no_date_is_named_too():
    assert read(lit_shoot(), None)[1].missing == ("the shoot has no date",)


def test_the_days_of_a_shoot():
    assert queries.days_of(lit_shoot(last_on=date(2026, 11, 16))) == [date(2026, 11, day) for day in (14, 15, 16)]
    assert len(queries.days_of(lit_shoot(last_on=date(2027, 3, 1)))) == queries.MOST_DAYS
    assert queries.days_of(lit_shoot(first_on=None)) == []


@pytest.mark.parametrize(
    ("wanted", "clock"),
    [
        ("", "09:00"),
        ("720", "12:00"),
        ("727", "12:00"),
        ("0", "07:00"),
        ("9999", "17:00"),
        ("-5", "09:00"),
        ("٣", "07:00"),
        ("12345", "09:00"),
    ],
)
def test_the_slider_takes_a_quarter_of_an_hour_of_daylight(wanted, clock):
    shoot, light = read(lit_shoot())
    slider = queries.slider_of(light, shoot, wanted)
    assert slider.clock == clock
    assert (slider.last - slider.first) // queries.STEP + 1 == len(slider.clocks.split())
    assert [clock for _minute, clock in slider.hours] == [f"{hour:02}:00" for hour in range(7, 18)]


def test_no_slider_without_a_day():
    shoot, light = read(lit_shoot(), None)
    assert queries.slider_of(light, shoot, "600") is None
    assert len(queries.three_frames(light, shoot)) == 1


def test_three_hours_are_drawn():
    shoot, light = read(lit_shoot())
    frames = queries.three_frames(light, shoot)
    assert [bool(each.drawing.sun) for each in frames] == [True, True, True]
    assert [each.clock for each in frames] == sorted(each.clock for each in frames)


def test_the_light_of_a_day_is_told_for_the_shots_planned_on_it():
    shoot = lit_shoot(shots=2, last_on=date(2026, 11, 15))
    first, second = shoot.shots.order_by("order")
    for number, shot in enumerate((first, second), 1):
        shot.planned_day, shot.planned_time = number, time(11)
        shot.save()

    def told(day):
        row = queries.light_shoot(shoot.pk).get()
        return [shot for each in queries.shot_groups(queries.day_of_light(row, day), row) for shot in each.shots]

    assert told(date(2026, 11, 14)) == [first]
    assert told(date(2026, 11, 15)) == [second]


def test_shots_with_one_light_from_one_place_stand_together():
    shoot = lit_shoot(shots=2)
    ShotFactory(shoot=shoot, title="Whole table from above", angle="overhead", order=9)
    ShotFactory(shoot=shoot, title="Late toast", light="back", planned_time=time(21), order=10)
    ShotFactory(shoot=shoot, title="Left out", state="skipped", order=11)
    groups = queries.shot_groups(read(shoot)[1], shoot)
    assert [len(each.shots) for each in groups] == [2, 1, 1]
    assert groups[0].asked == "Back light"
    assert groups[1].where.startswith("From above: the light comes from ")
    assert groups[1].where.endswith(
        "Under this ceiling lenses up to 70 mm on 36 × 24 mm or 50 mm on 23.5 × 15.6 mm fit."
    )
    assert groups[2].where.endswith("The sun is down then: bring the lamp.")


def test_the_longest_soft_stretch():
    assert " to " in queries.best_span(read(lit_shoot(bearing=270))[1])
    assert queries.best_span(read(lit_shoot())[1]) == ""  # a south window in November: hard all day
    lamp = lit_shoot()
    set_up(lamp, kind="lamp")
    assert queries.best_span(read(lamp)[1]) == ""


def test_lines_of_where_to_stand():
    lines = queries.stretch_lines(read(lit_shoot())[1])
    assert any(each.is_hard for each in lines)
    assert [name for name, _words in lines[0].places] == ["Back", "Back-side", "Side"]


# What the studio shoots with, and the lens of each shot


def test_without_a_kit_the_usual_one_stands_in():
    kit = own_kit()
    assert (kit.is_own, kit.body, kit.lenses) == (False, USUAL_BODY, USUAL_LENSES)


def test_the_first_camera_and_all_lenses_are_reckoned_with():
    first = CameraFactory(name="Old body", long_mm="23.5", short_mm="15.6", pixels=6000)
    CameraFactory()
    OwnLensFactory(shortest_mm=50, nearest_cm=45)
    kit = own_kit()
    assert kit.is_own
    assert (kit.camera, kit.body.pixels, kit.body.sensor.circle) == ("Old body", 6000, 0.02)
    assert kit.lenses[0].nearest == 450
    assert sensor_of(first).name == "Old body, 23.5 × 15.6 mm"


def test_shots_that_ask_the_same_of_a_lens_stand_together():
    shoot = lit_shoot(shots=2)
    ShotFactory(shoot=shoot, title="The room", kind="room")
    ShotFactory(shoot=shoot, kind="grey card")
    ShotFactory(shoot=shoot, state="skipped", angle="overhead")
    groups = lens_groups(shoot, planned_shots(shoot), own_kit())
    assert [(group.angle, len(group.shots)) for group in groups] == [("level", 2)]
    assert out_of_reach(groups) == []


def test_a_shot_no_lens_fits_is_out_of_reach():
    shoot = lit_shoot(shots=0)
    set_up(shoot, ceiling_cm=200, table_cm=120)
    shot = ShotFactory(shoot=shoot, angle="overhead", distance="wide")
    shoot = light_shoot(shoot.pk).get()
    assert out_of_reach(lens_groups(shoot, planned_shots(shoot), own_kit())) == [shot]


def test_what_is_fixed_on_a_shot_is_what_is_asked():
    shot = ShotFactory(lens_mm=90, f_number="5.6", shutter="1/500", frame_mm=200, motion="freeze", angle="level")
    ask = ask_of(shot)
    assert (ask.focal, ask.stop, ask.shutter, ask.framed, ask.motion) == (90, 5.6, 1 / 500, 200, "freeze")


# A grey card at each new light


def lit(shots, **values):
    shoot = lit_shoot(shots=0)
    if values:
        set_up(shoot, **values)
    for number, at in enumerate(shots):
        ShotFactory(shoot=shoot, dish=DishFactory(shoot=shoot), planned_time=at, order=number, light="back")
    shoot = light_shoot(shoot.pk).get()
    return shoot, day_of_light(shoot, shoot.first_on)


def test_a_shot_after_dark_is_a_new_light():
    """Sunset in Lindhafen on 14 November 2026 is at about 16:15 by the clock."""
    shoot, light = lit([time(12), time(20), time(21)], kind="overcast")
    shots = planned_shots(shoot)
    assert new_lights(light, shots) == [("window", shots[0].pk), ("lamp", shots[1].pk)]
    ShotFactory(shoot=shoot, dish=None, title="Grey card, first light", kind="grey card")
    assert new_lights(light, planned_shots(shoot)) == [("lamp", shots[1].pk)]
    ShotFactory(shoot=shoot, dish=None, title="Grey card, lamp", kind="grey card")
    assert new_lights(light, planned_shots(shoot)) == []


def test_under_the_lamp_the_day_has_one_light():
    shoot, light = lit([time(12), time(20)], kind="lamp")
    assert [name for name, _ in new_lights(light, planned_shots(shoot))] == ["lamp"]
