from datetime import time

import pytest
from django.db import IntegrityError, transaction

from shared.edits import EditedMeanwhile
from shoots.light.actions import (
    add_camera,
    add_cards_for_lights,
    add_lens,
    change_kit,
    remove_from_kit,
    set_light,
)
from shoots.light.models import Camera, LightPlan, OwnLens, WindowMeasures
from shoots.light.queries import light_shoot, plan_of, windows_of
from shoots.plan.models import Shot
from tests.factories.light import lit_shoot, set_up
from tests.factories.plan import ShotFactory
from tests.factories.shoots import DishFactory

pytestmark = pytest.mark.django_db


def test_the_first_time_makes_the_row_and_the_next_changes_it():
    shoot = lit_shoot()
    plan = set_up(shoot, kind="lamp", lamp_hour=8)
    set_light(shoot, values={"table_cm": 75}, version=plan.version)
    (row,) = LightPlan.objects.all()
    assert (row.kind, row.lamp_hour, row.table_cm, row.version) == ("lamp", 8, 75, 3)


def test_the_measures_of_a_window_are_the_kitchens_and_hold_for_its_next_shoot():
    shoot = lit_shoot(windows=2)
    set_light(shoot, values={}, windows={(180, 1): {"sill_cm": 40}, (270, 1): {"building_degrees": 90}}, version=1)
    set_light(shoot, values={}, windows={(180, 1): {"sill_cm": 45}}, version=2)
    assert {(each.bearing_degrees, each.sill_cm, each.building_degrees) for each in WindowMeasures.objects.all()} == {
        (180, 45, 0),
        (270, 90, 90),
    }
    following = lit_shoot(windows=0)
    following.kitchen = shoot.kitchen
    following.save()
    assert [each.value.sill for each in windows_of(light_shoot(following.pk).get())] == [0.45, 0.9]


def test_a_shoot_that_moves_has_another_set_up_in_each_kitchen():
    shoot, elsewhere = lit_shoot(), lit_shoot()
    set_up(shoot, table_cm=75)
    first, shoot.kitchen = shoot.kitchen, elsewhere.kitchen
    shoot.save()
    assert plan_of(light_shoot(shoot.pk).get()).table_cm == 90
    set_up(shoot, table_cm=110)
    shoot.kitchen = first
    shoot.save()
    assert plan_of(light_shoot(shoot.pk).get()).table_cm == 75


def test_a_stale_form_changes_nothing():
    shoot = lit_shoot()
    set_up(shoot, table_cm=75, sill_cm=80)
    with pytest.raises(EditedMeanwhile):
        set_light(shoot, values={"table_cm": 60}, windows={(180, 1): {"sill_cm": 10}}, version=1)
    assert (LightPlan.objects.get().table_cm, WindowMeasures.objects.get().sill_cm) == (75, 80)


@pytest.mark.both
@pytest.mark.parametrize(
    "wrong", [{"lamp_hour": 13}, {"cook_hour": 0}, {"sill_cm": 200, "head_cm": 100}, {"building_degrees": 91}]
)
def test_the_table_refuses_what_cannot_be(wrong):
    shoot = lit_shoot()
    with pytest.raises(IntegrityError), transaction.atomic():
        set_up(shoot, **wrong)


def test_each_new_light_gets_its_grey_card_before_its_first_shot_once():
    shoot = lit_shoot(shots=0)
    set_up(shoot, kind="overcast")
    ShotFactory(shoot=shoot, dish=None, kind="grey card", title="Grey card, first light", order=0)
    for order, at in enumerate((time(12), time(20)), start=1):
        ShotFactory(shoot=shoot, dish=DishFactory(shoot=shoot), planned_time=at, order=order, title=f"At {at:%H:%M}")
    shoot = light_shoot(shoot.pk).get()
    [card] = add_cards_for_lights(shoot, day=shoot.first_on)
    assert (card.title, card.kind, card.is_must, card.planned_time) == ("Grey card, lamp", "grey card", True, time(20))
    titles = list(Shot.objects.order_by("order", "pk").values_list("title", flat=True))
    assert titles == ["Grey card, first light", "At 12:00", "Grey card, lamp", "At 20:00"]
    assert add_cards_for_lights(light_shoot(shoot.pk).get(), day=shoot.first_on) == []


def test_cameras_and_lenses_come_change_and_go():
    camera = add_camera(name="Main body", long_mm=36, short_mm=24, pixels=8256)
    lens = add_lens(name="50 mm", shortest_mm=50, longest_mm=50)
    camera.pixels = 9504
    change_kit(camera, fields=["pixels"], version=1)
    with pytest.raises(EditedMeanwhile):
        change_kit(camera, fields=["pixels"], version=1)
    assert (Camera.objects.get().pixels, Camera.objects.get().version) == (9504, 2)
    remove_from_kit(lens)
    assert not OwnLens.objects.exists()


@pytest.mark.parametrize(
    ("model", "values"),
    [
        (Camera, {"name": "Odd", "long_mm": 24, "short_mm": 36, "pixels": 1000}),
        (OwnLens, {"name": "Odd", "shortest_mm": 70, "longest_mm": 24}),
    ],
)
def test_what_no_camera_and_no_lens_is_never_becomes_a_row(model, values):
    with pytest.raises(IntegrityError), transaction.atomic():
        model.objects.create(**values)
