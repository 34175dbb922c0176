import pytest
from django.http import QueryDict

from shoots.light.forms import CameraForm, LensForm, LightPlanForm, OwnLensForm, lens_defaults, shot_defaults
from shoots.light.lens_answers import FALLING, STILL
from shoots.light.models import LightPlan
from shoots.light.queries import light_shoot, own_kit, plan_of
from tests.factories.kit import CameraFactory, OwnLensFactory
from tests.factories.light import lit_shoot
from tests.factories.plan import MomentFactory, ShotFactory

pytestmark = pytest.mark.django_db
TYPED = {
    "version": 1, "kind": "daylight", "window": "window180_1", "lamp_hour": 10, "cook_hour": 6, "window180_1_sill_cm": 80,
    "window180_1_head_cm": "", "window180_1_overhang_depth_cm": 0, "window180_1_overhang_above_cm": 0, "window180_1_building_degrees": 0, "table_cm": 75, "table_distance_cm": 60, "table_depth_cm": 80, "table_width_cm": 140,
    "table_aside_cm": -30, "ceiling_cm": 240,
}  # fmt: skip


def form_for(shoot, **typed):
    shoot = light_shoot(shoot.pk).get()
    return LightPlanForm({**TYPED, **typed}, instance=plan_of(shoot), shoot=shoot)


def test_what_is_typed_becomes_the_row():
    form = form_for(lit_shoot())
    assert form.is_valid(), form.errors
    values = form.typed_values()
    assert [values[name] for name in ("window_bearing", "window_number", "table_aside_cm", "cook_hour")] == [
        180,
        1,
        -30,
        6,
    ]
    assert form.typed_windows() == {
        (180, 1): {
            "sill_cm": 80,
            "head_cm": None,
            "building_degrees": 0,
            "overhang_depth_cm": 0,
            "overhang_above_cm": 0,
        }
    }


def test_each_window_has_its_own_measures_two_with_one_bearing_too():
    shoot = lit_shoot(windows=2)
    shoot.kitchen.windows.update(bearing_degrees=180)
    second = {name.replace("180_1", "180_2"): value for name, value in TYPED.items() if "180_1" in name}
    form = form_for(shoot, **{**second, "window": "window180_2", "window180_2_building_degrees": 90})
    assert form.is_valid(), form.errors
    assert form.typed_values()["window_number"] == 2
    assert [each["building_degrees"] for each in form.typed_windows().values()] == [0, 90]


@pytest.mark.parametrize(
    ("name", "value", "says"),
    [
        ("window180_1_sill_cm", "500", "Enter 0 to 400."),
        ("table_aside_cm", "-900", "Enter −500 to 500."),
        ("window180_1_head_cm", "60", "above the sill"),
        ("ceiling_cm", "", "Ceiling"),
        ("table_cm", "knee-high", ""),
        ("window", "17", ""),
        ("lamp_hour", "13", ""),
        ("window180_1_building_degrees", "99", "Enter 0 to 90."),
    ],
)
def test_what_cannot_be_is_said_beside_its_box(name, value, says):
    form = form_for(lit_shoot(), **{name: value})
    assert not form.is_valid()
    assert list(form.errors) == [name]
    assert says in str(form.errors[name]) or name == "ceiling_cm"


def test_a_ceiling_below_the_table():
    assert "above the table of 190 cm" in str(form_for(lit_shoot(), table_cm=190, ceiling_cm=150).errors["ceiling_cm"])


def test_without_windows_none_is_asked():
    shoot = lit_shoot(windows=0)
    form = form_for(shoot)
    assert not any(name.startswith("window") for name in form.fields)
    assert "window" not in form.fields
    assert form.is_valid(), form.errors


def test_a_lens_question_in_millimetres():
    form = LensForm({**lens_defaults(LightPlan()), "f_number": "2.8"})
    assert form.is_valid(), form.errors
    question = form.question()
    assert (question.framed, question.room, question.f_number, question.motion) == (378, 1390, 2.8, FALLING)
    assert question.pixels == 8256


def test_a_lens_question_begins_with_the_size_of_the_shot():
    assert [lens_defaults(LightPlan(), distance=each)["subject_mm"] for each in ("tight", "medium", "wide", "")] == [
        120,
        280,
        600,
        280,
    ]


@pytest.mark.parametrize("value", ["0", "-5", "1e9", "nan", "inf", "fifty", ""])
def test_a_lens_that_is_none_is_refused(value):
    form = LensForm(QueryDict(mutable=True) | {**lens_defaults(LightPlan()), "focal_length": value})
    assert not form.is_valid()
    assert list(form.errors) == ["focal_length"]


def test_a_lens_question_begins_with_the_shot_and_the_studios_camera():
    camera = CameraFactory(long_mm="23.5", short_mm="15.6", pixels=6000)
    moment = MomentFactory(action="pour")
    shot = ShotFactory(moment=moment, motion="freeze", frame_mm=200, lens_mm=90, f_number="5.6", shutter="1/500")
    begins = shot_defaults(LightPlan(), shot, own_kit(), [camera])
    form = LensForm(begins, cameras=[camera])
    assert form.is_valid(), form.errors
    asked = form.question()
    assert (asked.sensor.long, asked.pixels, asked.framed, asked.focal_length) == (23.5, 6000, 200, 90)
    assert (asked.f_number, asked.shutter, asked.motion) == (5.6, 500, FALLING)


def test_a_shot_in_which_nothing_moves_asks_for_no_shutter():
    assert shot_defaults(LightPlan(), ShotFactory(), own_kit(), [])["motion"] == STILL


def test_the_way_back_is_measured_or_left_open():
    assert form_for(lit_shoot(), behind_cm="").is_valid()
    form = form_for(lit_shoot(), behind_cm="5")
    assert form.errors["behind_cm"] == ["Enter 20 to 3000."]


def test_a_lens_of_one_length_is_named_by_it_and_a_zoom_by_both():
    fixed = OwnLensForm({"version": 1, "shortest_mm": "50"})
    assert fixed.is_valid(), fixed.errors
    assert (fixed.cleaned_data["name"], fixed.cleaned_data["longest_mm"]) == ("50 mm", 50)
    zoom = OwnLensForm({"version": 1, "shortest_mm": "24", "longest_mm": "70", "widest": "2,8", "nearest_cm": "38"})
    assert zoom.is_valid(), zoom.errors
    assert zoom.cleaned_data["name"] == "24–70 mm"


@pytest.mark.parametrize(
    ("typed", "field", "says"),
    [
        ({"shortest_mm": "70", "longest_mm": "24"}, "longest_mm", "A zoom ends at more than 70 mm."),
        ({"shortest_mm": "2"}, "shortest_mm", "Enter 4 to 1,200."),
        ({"shortest_mm": "50", "widest": "0.1"}, "widest", "Enter 0.7 to 64."),
    ],
)
def test_a_lens_nobody_has_is_refused(typed, field, says):
    assert OwnLensForm({"version": 1, **typed}).errors[field] == [says]


def test_a_camera_has_its_long_side_long():
    typed = {"version": 1, "name": "Main body", "long_mm": "24", "short_mm": "36", "pixels": "8256"}
    assert "long_mm" in CameraForm(typed).errors
    assert CameraForm({**typed, "long_mm": "36", "short_mm": "24"}).is_valid()
    assert OwnLensForm(instance=OwnLensFactory(shortest_mm=50)).initial["longest_mm"] is None
