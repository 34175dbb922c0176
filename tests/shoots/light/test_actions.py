import pytest
from django.db import IntegrityError, transaction

from shared.edits import EditedMeanwhile
from shoots.light.actions import set_light
from shoots.light.models import LightPlan, WindowMeasures
from shoots.light.queries import light_shoot, plan_of, windows_of
from tests.factories.light import lit_shoot, set_up

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
