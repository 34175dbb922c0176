from datetime import UTC, datetime, timedelta

import pytest
from django.db import IntegrityError, transaction

from shoots.safety.actions import (
    MOST_LIGHTS,
    TooManyLights,
    begin_light,
    put_food_out,
    take_back_food_out,
    take_back_tick,
    tick_safety,
)
from shoots.safety.models import FoodOut, SafetyTick
from tests.factories.safety import safe_shoot
from tests.factories.shoots import DishFactory, ShootFactory

pytestmark = pytest.mark.django_db

AT = datetime(2026, 11, 14, 8, 0, tzinfo=UTC)


def test_a_tick_has_its_name_and_time_and_stays_the_first():
    shoot = ShootFactory()
    tick_safety(shoot, items=["arm", "lamps", "arm", "no such line"], name="Jorun", at=AT)
    again = tick_safety(shoot, items=["arm"], name="Tindra", at=AT + timedelta(minutes=5))
    assert again == []
    assert list(shoot.safety_ticks.values_list("item", "name", "at", "light")) == [
        ("arm", "Jorun", AT, 0),
        ("lamps", "Jorun", AT, 0),
    ]


def test_a_tick_taken_back_stays_with_who_did_it_and_the_line_is_open():
    shoot = ShootFactory()
    [tick] = tick_safety(shoot, items=["arm"], name="Jorun", at=AT)
    take_back_tick(tick, at=AT + timedelta(minutes=1), by="tindra")
    take_back_tick(tick, at=AT + timedelta(minutes=9), by="jorun")
    tick.refresh_from_db()
    assert (tick.taken_back_at, tick.taken_back_by) == (AT + timedelta(minutes=1), "tindra")
    assert len(tick_safety(shoot, items=["arm"], name="Tindra", at=AT, is_here=False)) == 1
    assert shoot.safety_ticks.count() == 2


def test_the_list_of_the_first_frame_opens_anew_at_each_light():
    shoot = ShootFactory()
    tick_safety(shoot, items=["grey", "arm"], name="Jorun", at=AT)
    assert begin_light(shoot, by="Jorun", at=AT) == 2
    assert len(tick_safety(shoot, items=["grey", "arm"], name="Jorun", at=AT)) == 1
    assert list(SafetyTick.objects.filter(item="grey").values_list("light", flat=True)) == [1, 2]


def test_nobody_begins_a_hundred_lights():
    shoot = ShootFactory()
    SafetyTick.objects.create(shoot=shoot, item="new_light", light=MOST_LIGHTS, name="Jorun", at=AT)
    with pytest.raises(TooManyLights):
        begin_light(shoot, by="Jorun", at=AT)


def test_the_table_holds_one_standing_tick_a_line():
    shoot = safe_shoot()
    tick_safety(shoot, items=["arm"], name="Jorun", at=AT)
    with pytest.raises(IntegrityError), transaction.atomic():
        SafetyTick.objects.create(shoot=shoot, item="arm", name="Tindra", at=AT)


def test_food_is_put_out_and_the_press_taken_back():
    dish = DishFactory()
    row = put_food_out(dish, at=AT, by="Jorun")
    assert (row.dish, row.at, row.by) == (dish, AT, "Jorun")
    take_back_food_out(row)
    assert not FoodOut.objects.exists()
