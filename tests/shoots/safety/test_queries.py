from datetime import UTC, date, datetime, time, timedelta

import pytest

from shoots.day.actions import press_take
from shoots.plan.actions import tell_allergens
from shoots.plan.models import Shot
from shoots.run.actions import move_dish_to_day
from shoots.run.queries import plan_as_it_stands, run_day_of, run_page_of, shoot_for_run
from shoots.safety import queries
from shoots.safety.actions import begin_light, put_food_out, tick_safety
from tests.factories.plan import dish_read
from tests.factories.safety import safe_shoot
from tests.factories.shoots import ShootFactory

pytestmark = pytest.mark.django_db

AT = datetime(2026, 11, 14, 8, 0, tzinfo=UTC)


def seen(shoot):
    return queries.shoot_for_safety(shoot.pk).get()


def test_each_dish_has_its_table_and_its_planned_minutes_are_those_of_the_run():
    shoot = safe_shoot(2)
    first, second = queries.dishes_of(seen(shoot), now=AT)
    assert first.table.contains == ("milk",)
    run_day = run_day_of(shoot_for_run(shoot.pk).get())
    page = run_page_of(run_day, plan_as_it_stands(run_day))
    assert [each.plan.minutes for each in (first, second)] == [clock.minutes for clock in page.food]
    assert isinstance(first.plan.leaves, time)
    assert first.now is None


def test_told_allergens_are_matched_to_their_class():
    shoot = safe_shoot()
    dish = shoot.dishes.get()
    tell_allergens(dish, allergens=["butter"], told_by="Maro Lantadze", version=dish.version)
    [table] = queries.tables_of(seen(shoot)).values()
    assert table.told == ("milk",)
    assert table.flags == ()


def test_minutes_on_the_day_run_until_every_picture_of_the_dish_is_taken():
    shoot = safe_shoot()
    dish = shoot.dishes.get()
    put_food_out(dish, at=AT - timedelta(hours=2), by="Jorun")
    put_food_out(dish, at=AT, by="Jorun")  # a second portion: it counts from here
    shots = list(shoot.shots.filter(dish=dish))
    for number, shot in enumerate(shots):
        press_take(shot, outcome="done", at=AT + timedelta(minutes=10 + number), by="jorun")
        [each] = queries.dishes_of(seen(shoot), now=AT + timedelta(minutes=95))
        assert each.now.is_running == (number < len(shots) - 1)
    assert each.now.minutes == 10 + len(shots) - 1
    assert each.now.since == AT
    assert each.out.by == "Jorun"


def test_hazards_come_from_moments_and_shots_with_their_dishes_and_the_rooms_own():
    shoot = safe_shoot(2)
    found = dict(queries.hazards_of_day(seen(shoot)))
    assert found["hot oil"] == ("Bean stew in clay 1", "Bean stew in clay 2")
    assert found["steam"] == ("Bean stew in clay 1", "Bean stew in clay 2")
    assert queries.room_of(seen(shoot)) == ("Oven mouth, 250 °C, at hip height",)
    assert queries.calls_of(seen(shoot)) == ("“Heiß!”: von hinten", "“Messer”: eine Klinge kommt")
    Shot.objects.filter(shoot=shoot, title__startswith="Fry").update(hazard="Step down behind the sink")
    assert "Step down behind the sink" in dict(queries.hazards_of_day(seen(shoot)))


def test_the_rig_list_has_what_the_day_calls_for_and_who_ticked_it():
    shoot = safe_shoot()
    tick_safety(shoot, items=["arm", "poultry"], name="Jorun", at=AT)
    lines = {each.line.key: each.tick for each in queries.rig_of(seen(shoot))}
    assert "fat" in lines
    assert "steam" in lines
    assert lines["arm"].name == "Jorun"
    assert lines["poultry"].name == "Jorun"  # ticked once, it stays on the list
    assert queries.open_in(queries.rig_of(seen(shoot)))[0].key == "lamps"
    dish_read(shoot, text="Roast\n\nIngredients\n- 1 chicken\n\nMethod\n1. Roast the chicken.", name="Roast")
    assert "poultry" in {each.line.key for each in queries.rig_of(seen(shoot))}


def test_each_light_has_its_list():
    shoot = safe_shoot()
    tick_safety(shoot, items=["grey", "empty"], name="Jorun", at=AT)
    assert (queries.light_now(seen(shoot)), queries.lights_of(seen(shoot))) == (1, [])
    begin_light(shoot, by="Jorun", at=AT)
    assert queries.light_now(seen(shoot)) == 2
    assert [each.tick for each in queries.frame_of(seen(shoot))] == [None] * 4
    assert queries.lights_of(seen(shoot)) == [(1, 2)]


def test_a_shoot_with_nothing_in_it_has_a_page():
    shoot = seen(ShootFactory(kitchen=None))
    assert queries.dishes_of(shoot, now=AT) == []
    assert queries.food_planned(shoot) == {}
    assert queries.hazards_of_day(shoot) == queries.room_of(shoot) == queries.calls_of(shoot) == ()
    assert queries.safety_sheet_of(shoot, language="de", at=AT).dishes == ()


def test_the_minutes_of_a_dish_of_the_second_day_name_that_day():
    shoot = safe_shoot(2, first_on=date(2026, 11, 14), last_on=date(2026, 11, 15))
    first, second = shoot.dishes.all()
    move_dish_to_day(second, day=2)
    found = queries.food_planned(queries.shoot_for_safety(shoot.pk).get())
    assert (found[first.pk].day, found[second.pk].day) == (1, 2)
    type(shoot).objects.filter(pk=shoot.pk).update(last_on=None)
    found = queries.food_planned(queries.shoot_for_safety(shoot.pk).get())
    assert {each.day for each in found.values()} == {0}
