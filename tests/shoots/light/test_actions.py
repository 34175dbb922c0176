import pytest
from django.db import IntegrityError, transaction

from shared.edits import EditedMeanwhile
from shoots.light.actions import set_light
from shoots.light.models import LightPlan
from tests.factories.light import lit_shoot, set_up

pytestmark = pytest.mark.django_db


def test_the_first_time_makes_the_row_and_the_next_changes_it():
    shoot = lit_shoot()
    plan = set_up(shoot, kind="lamp", lamp_hour=8)
    set_light(shoot, values={"sill_cm": 75}, version=plan.version)
    (row,) = LightPlan.objects.all()
    assert (row.kind, row.lamp_hour, row.sill_cm, row.version) == ("lamp", 8, 75, 3)


def test_a_stale_form_changes_nothing():
    shoot = lit_shoot()
    set_up(shoot, sill_cm=75)
    with pytest.raises(EditedMeanwhile):
        set_light(shoot, values={"sill_cm": 10}, version=1)
    assert LightPlan.objects.get().sill_cm == 75


@pytest.mark.both
@pytest.mark.parametrize(
    "wrong", [{"lamp_hour": 13}, {"cook_hour": 0}, {"sill_cm": 200, "head_cm": 100}, {"building_degrees": 91}]
)
def test_the_table_refuses_what_cannot_be(wrong):
    shoot = lit_shoot()
    with pytest.raises(IntegrityError), transaction.atomic():
        set_up(shoot, **wrong)
