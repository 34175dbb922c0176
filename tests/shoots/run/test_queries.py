import re
from datetime import UTC, date, datetime, time, timedelta
from decimal import Decimal
from zoneinfo import ZoneInfo

import pytest
from django.utils import timezone

from clients.models import KitchenHours
from shoots.brief.models import Part, Shoot, ShootPerson
from shoots.light.queries import day_of_light, light_shoot
from shoots.plan.actions import add_grey_cards
from shoots.recipes.actions import add_moment, add_own_kind, change_step, learn_word
from shoots.run.actions import change_activity, pin_activity, write_run_times
from shoots.run.models import Run
from shoots.run.queries import (
    calendar_of_shoot,
    moment_at,
    page_of_day,
    plan_as_it_stands,
    run_day_of,
    run_events,
    run_page_of,
    run_sheet_of,
    saved_starts,
    shoot_for_run,
)
from tests.factories.light import lit_shoot, set_up
from tests.factories.plan import ShotFactory, dish_read, planned_shoot
from tests.factories.releases import shoot_with_cook
from tests.factories.shoots import ShootPersonFactory
from tests.shoots.run.days import faults

pytestmark = pytest.mark.django_db

AT = datetime(2026, 11, 12, 8, 0, tzinfo=UTC)


def page_of(shoot):
    run_day = run_day_of(shoot_for_run(shoot.pk).get())
    return run_page_of(run_day, plan_as_it_stands(run_day))


def test_a_planned_shoot_becomes_a_day_whose_plan_breaks_nothing():
    shoot = planned_shoot(2)
    page = page_of(shoot)
    keys = set(page.plan.starts)
    assert {"first", "strike", *(f"hero:{dish.pk}" for dish in shoot.dishes.all())} <= keys
    assert {f"step:{step.pk}" for dish in shoot.dishes.all() for step in dish.recipe.steps.all()} <= keys
    assert faults(page.run_day.day, dict(page.plan.starts)) == []
    assert set(page.shot_times) == set(shoot.shots.values_list("pk", flat=True))
    assert page.plan.bound <= page.plan.finish
    assert saved_starts(page.run_day) == {}
    assert page.sentence.startswith("Call 09:00, done ")


def test_the_first_plan_is_the_same_each_time_it_is_looked_at():
    shoot = planned_shoot(1)
    assert page_of(shoot).plan == page_of(shoot).plan


def test_named_minutes_are_taken_and_the_bake_waits_without_the_cook():
    shoot = shoot_with_cook()
    dish_read(shoot)
    rows = {row.title: row for row in page_of(shoot).rows}
    fry = next(row for title, row in rows.items() if title.startswith("Fry"))
    assert (fry.minutes, fry.why, fry.who) == (15, "from the recipe", "Cook, Burners")
    bake = next(row for title, row in rows.items() if title.startswith("Ladle"))
    assert bake.minutes > 20
    assert "then 20 from the recipe" in bake.why


def test_service_in_the_middle_of_the_day_closes_the_kitchen_and_its_last_hour_ends_it():
    shoot = planned_shoot(1)
    for since, until in ((time(9), time(10)), (time(12), time(16))):
        KitchenHours.objects.create(kitchen=shoot.kitchen, weekday=5, from_time=since, until_time=until)
    shoot.until_time = None
    shoot.save()
    page = page_of(shoot)
    assert page.run_day.terms.closed["kitchen"] == ((60, 180),)
    assert page.run_day.terms.ends_at == 420
    assert faults(page.run_day.day, dict(page.plan.starts)) == []


def test_a_day_too_full_says_by_how_much_and_what_to_drop():
    shoot = planned_shoot(3)
    shoot.until_time = time(12)
    shoot.save()
    page = page_of(shoot)
    assert page.over > 0
    assert "too full" in page.warnings[0]
    assert "Moving" in page.warnings[0] or "Dropping" in page.warnings[0] or "dropping" in page.warnings[0]


def test_people_named_in_the_brief_take_their_part():
    shoot = planned_shoot(1)
    for part in (Part.FOOD_STYLIST, Part.DECIDES, Part.KITCHEN_HAND):
        ShootPersonFactory(shoot=shoot, part=part)
    terms = run_day_of(shoot_for_run(shoot.pk).get()).terms
    assert (terms.cooks, terms.has_stylist, terms.has_client) == (2, True, True)


def test_a_cook_who_comes_later_and_goes_early_is_said():
    shoot = planned_shoot(1)
    shoot.people.update(from_time=time(9, 30), until_time=time(10))
    page = page_of(shoot)
    assert page.run_day.terms.closed["cook"] == ((0, 30),)
    assert any("The cook goes at 10:00" in sentence for sentence in page.warnings)


def test_a_client_and_a_stylist_who_go_early_never_put_the_day_off_until_the_next_morning():
    shoot = planned_shoot(3)
    person = shoot.people.get().person
    for part in (Part.DECIDES, Part.FOOD_STYLIST):
        ShootPerson.objects.create(shoot=shoot, person=person, part=part, from_time=time(9, 30), until_time=time(12))
    page = page_of(shoot)
    assert page.run_day.terms.closed["client"] == page.run_day.terms.closed["stylist"] == ((0, 30),)
    assert page.plan.finish < 600
    heroes = [row for row in page.rows if row.kind == "hero"]
    assert heroes[0].until <= time(12)  # what needs them comes before they go, where it can
    said = [sentence for sentence in page.warnings if "goes at 12:00" in sentence]
    assert [sentence.split(" goes")[0] for sentence in said] == ["The food stylist", "The client"]
    assert not any("outside its light" in sentence for sentence in page.warnings)


def test_a_shoot_of_nothing_has_a_run_too():
    shoot = shoot_with_cook(kitchen=None, first_on=None, from_time=None, until_time=None)
    shoot.people.all().delete()
    page = page_of(shoot)
    assert set(page.plan.starts) == {"first", "strike"}
    assert len(page.run_day.notes) == 2
    assert run_events(page) == []
    assert moment_at(shoot, time(9), 5) is None
    assert run_sheet_of(page, at=AT).place == ""


def test_moments_are_counted_on_from_the_call_also_when_the_clocks_change():
    shoot = shoot_with_cook(first_on=date(2026, 10, 24))  # clocks go back at 03:00 on the 25th in Berlin
    assert moment_at(shoot, time(9), 90) == datetime(2026, 10, 24, 8, 30, tzinfo=UTC)
    assert moment_at(shoot, time(9), 24 * 60) == datetime(2026, 10, 25, 7, 0, tzinfo=UTC)


def test_events_have_uids_that_stay():
    shoot = planned_shoot(1)
    page = page_of(shoot)
    events = run_events(page)
    assert {event.uid for event in events} >= {
        f"run-{shoot.pk}-first@plate-ledger",
        f"run-{shoot.pk}-strike@plate-ledger",
    }
    assert len({event.uid for event in events}) == len(events)
    first = next(event for event in events if "first" in event.uid)
    assert first.begins_at == datetime(2026, 11, 14, 8, 0, tzinfo=UTC)


def test_all_times_of_a_step_count_until_a_person_says_how_long_it_takes():
    shoot = shoot_with_cook()
    text = "Dough\n\nIngredients\n- 1 kg flour\n\nMethod\n1. Knead for 10 minutes. Leave to rest for 1 hour."
    step = dish_read(shoot, text=text).recipe.steps.get()
    assert next(row.minutes for row in page_of(shoot).rows if row.kind == "step") == 70
    step.minutes_from = step.minutes_to = 25
    change_step(step, fields=["minutes_from", "minutes_to"], version=1)
    assert next(row.minutes for row in page_of(shoot).rows if row.kind == "step") < 40


def test_without_a_kitchen_the_call_is_by_the_clock_of_the_business():
    shoot = shoot_with_cook(kitchen=None, first_on=date(2026, 11, 28))
    with timezone.override("Asia/Kolkata"):
        assert moment_at(shoot, time(9), 30) == datetime(2026, 11, 28, 4, 0, tzinfo=UTC)


def test_heroes_keep_to_the_soft_light_of_the_set_up_and_a_lamp_frees_them():
    shoot = lit_shoot(shots=0, bearing=90, from_time=time(8), until_time=time(18))
    dish = dish_read(shoot)
    ShotFactory(shoot=shoot, dish=dish, title="Hero, three-quarter", stage="plated")
    hero = f"hero:{dish.pk}"
    assert hero not in page_of(shoot).run_day.effective  # the light was not set up, so nobody says that it matters
    set_up(shoot, kind="daylight", sill_cm=90, table_distance_cm=20)
    page = page_of(shoot)
    light = day_of_light(light_shoot(shoot.pk).get(), shoot.first_on)
    zone = ZoneInfo("Europe/Berlin")
    called = datetime.combine(shoot.first_on, time(8), zone)
    soft = [
        [int((at - called).total_seconds() // 60) for at in (each.from_at, each.until_at)] for each in light.hours.soft
    ]
    longest = max(soft, key=lambda span: span[1] - max(span[0], 0))
    assert page.run_day.effective[hero].window == (max(longest[0], 0), longest[1])
    assert next(row for row in page.rows if row.key == hero).light.startswith("soft light ")
    change_activity(shoot, hero, pinned=None, minutes=None, hold=None, window=None, light="lamp", at=AT)
    page = page_of(shoot)
    assert page.run_day.effective[hero].window is None
    assert next(row for row in page.rows if row.key == hero).light == "lamp"


def test_a_light_the_window_never_has_is_said_in_words():
    shoot = lit_shoot(shots=0, bearing=0, from_time=time(8))  # to the north: no sun on the table in November
    dish = dish_read(shoot)
    hero = f"hero:{dish.pk}"
    change_activity(shoot, hero, pinned=None, minutes=None, hold=None, window=None, light="hard", at=AT)
    assert any("wants sun on the table, and the window has none" in said for said in page_of(shoot).warnings)


def test_the_stylist_and_the_client_are_there_in_their_hours():
    shoot = planned_shoot(1)
    ShootPersonFactory(shoot=shoot, part=Part.FOOD_STYLIST, from_time=time(11), until_time=time(15))
    ShootPersonFactory(shoot=shoot, part=Part.DECIDES, from_time=time(12))
    page = page_of(shoot)
    assert page.run_day.terms.closed["stylist"] == ((0, 120),)
    assert page.run_day.terms.goes == {"stylist": 360}
    assert page.run_day.terms.closed["client"] == ((0, 180),)
    assert faults(page.run_day.day, dict(page.plan.starts)) == []
    hero = page.plan.starts[f"hero:{shoot.dishes.get().pk}"]
    minutes = next(each.minutes for each in page.run_day.day.activities if each.id.startswith("hero:"))
    assert hero + minutes - 2 >= 180  # the client looks at the end of the hero


def test_a_cancelled_shoot_is_cancelled_in_the_calendar():  # RFC 5545, 3.8.1.11, from memory
    shoot = planned_shoot(1, first_on=date(2026, 11, 14))
    stream = calendar_of_shoot(shoot_for_run(shoot.pk).get(), at=AT)
    assert "STATUS:CANCELLED" not in stream
    Shoot.objects.filter(pk=shoot.pk).update(state="cancelled")
    stream = calendar_of_shoot(shoot_for_run(shoot.pk).get(), at=AT)
    assert stream.count("STATUS:CANCELLED") == stream.count("BEGIN:VEVENT") > 0


def test_each_grey_card_stands_at_its_light_the_first_one_in_the_first_set():
    shoot = planned_shoot()
    lid = shoot.shots.get(title="Lift the lid at the table")
    [card] = add_grey_cards(shoot, [("lamp", lid.pk)])
    first = shoot.shots.get(title="Grey card, first light")
    at = page_of(shoot).shot_times
    assert at[first.pk] < at[shoot.shots.get(title="Ingredients laid out").pk]
    minutes = lambda each: at[each.pk].hour * 60 + at[each.pk].minute  # noqa: E731
    assert minutes(lid) - minutes(card) == 6  # the card, two minutes, then the new angle of the shot


def test_the_run_knows_the_studios_own_words():
    dish = dish_read(text="Greens\n\nMethod\n\n1. Cut the greens.\n2. Blast the greens.\n")
    learn_word("blast", action="deepfry", by="Tindra Aldermoor", on=date(2026, 11, 12))
    draft = page_of(dish.shoot).run_day.draft
    [step] = [each for each in draft.activities if each.title == "Blast the greens."]
    assert step.why == "usual for deepfry"


def test_a_kind_of_the_studios_own_is_no_word_of_the_run():
    dish = dish_read(text="Greens\n\nMethod\n\n1. Cut the greens.\n2. Blast the greens.\n")
    kind = add_own_kind(name="blast", by="Tindra Aldermoor", on=date(2026, 11, 12))
    add_moment(dish, what="Blast", action=kind.key, step=dish.recipe.steps.last())
    draft = page_of(dish.shoot).run_day.draft
    [step] = [each for each in draft.activities if each.title == "Blast the greens."]
    assert step.why == "usual, nothing is named"


def test_the_calendar_is_a_newer_one_after_every_change_and_never_an_older():  # RFC 5545, 3.8.7.4, from memory
    shoot = planned_shoot(2, first_on=date(2026, 12, 1), last_on=date(2026, 12, 3))
    start = timezone.now()
    seen = []

    def look(minute):
        stream = calendar_of_shoot(shoot_for_run(shoot.pk).get(), at=start + timedelta(minutes=minute))
        seen.append(int(re.search(r"SEQUENCE:(\d+)", stream).group(1)))

    look(1)
    write_run_times(shoot, at=start + timedelta(minutes=2))
    look(3)
    pin_activity(shoot, f"hero:{shoot.dishes.first().pk}", pinned=200, at=start + timedelta(minutes=4))
    look(5)
    assert seen == sorted(set(seen))
    look(6)
    assert seen[-1] == seen[-2]  # nothing changed
    shoot.last_on = date(2026, 12, 1)
    shoot.save()
    look(7)
    assert seen[-1] >= seen[-2]


def test_prop_stylist_assistant_and_operator_take_their_part_off_the_camera_in_their_hours():
    shoot = planned_shoot(1)
    alone = page_of(shoot)
    for part, hours in (
        (Part.PROP_STYLIST, {}),
        (Part.ASSISTANT, {"until_time": time(10)}),
        (Part.DIGITAL_OPERATOR, {}),
    ):
        ShootPersonFactory(shoot=shoot, part=part, **hours)
    page = page_of(shoot)
    who = {row.kind: row.who for row in page.rows}
    assert who["strike"] == "Camera, Assistant, Digital operator"
    assert "Prop stylist" in who["portrait"]
    assert page.plan.bound < alone.plan.bound  # less is left to the camera
    assert faults(page.run_day.day, dict(page.plan.starts)) == []
    assert [said for said in page.warnings if "goes at" in said] == [
        "The assistant goes at 10:00, and “Strike and clean” still needs them. Ask the assistant to stay, or drop something."
    ]


def test_a_day_of_several_on_which_nothing_is_made_is_empty():
    shoot = planned_shoot(1, first_on=date(2026, 12, 1), last_on=date(2026, 12, 31))
    page = page_of_day(shoot_for_run(shoot.pk).get(), 30)
    assert page.rows == ()
    assert page.sentence.startswith("Nothing is made on this day yet.")
    stream = calendar_of_shoot(shoot_for_run(shoot.pk).get(), at=AT)
    assert "DTSTART:20261230" not in stream
    assert "DTSTART:20261231" in stream  # the portrait comes last
    write_run_times(shoot, at=AT)
    assert list(Run.objects.values_list("day", flat=True)) == [1, 31]


def test_nobody_cooks_before_the_first_of_several_cooks_comes():
    shoot = planned_shoot(1)
    shoot.people.update(from_time=time(10), until_time=time(14))
    ShootPersonFactory(shoot=shoot, part=Part.KITCHEN_HAND, from_time=time(11), until_time=time(13))
    page = page_of(shoot)
    assert page.run_day.terms.cooks == 2
    assert page.run_day.terms.closed["cook"] == ((0, 60),)
    assert page.run_day.terms.goes == {"cook": 300}
    assert min(row.until for row in page.rows if "Cook" in row.who) > time(10)
    assert any("at different hours" in note for note in page.run_day.notes)


def test_breaks_are_counted_from_when_the_kitchen_opens():
    shoot = planned_shoot(1, first_on=date(2026, 12, 1), from_time=time(9), until_time=time(23))
    KitchenHours.objects.create(kitchen=shoot.kitchen, weekday=1, from_time=time(14), until_time=time(23))
    page = page_of(shoot)
    assert page.rows[0].kind == "first"
    assert page.rows[0].at == time(14)
    assert not [row for row in page.rows if row.kind == "break"]  # less than five hours of work


def test_in_the_polar_night_no_hero_waits_for_daylight_and_it_is_said():
    north = {
        "kitchen__latitude": Decimal("69.65"),
        "kitchen__longitude": Decimal("18.96"),
        "kitchen__time_zone": "Europe/Oslo",
    }
    shoot = lit_shoot(first_on=date(2026, 12, 21), **north)
    set_up(shoot, kind="daylight")
    page = page_of(shoot)
    assert page.plan.finish < 300
    assert any("wants soft light, and the window has none" in said for said in page.warnings)


def test_in_the_polar_day_and_on_days_the_clocks_change_the_light_is_by_the_clock_of_the_set():
    north = {
        "kitchen__latitude": Decimal("69.65"),
        "kitchen__longitude": Decimal("18.96"),
        "kitchen__time_zone": "Europe/Oslo",
    }
    shoot = lit_shoot(first_on=date(2026, 6, 21), bearing=0, from_time=time(9), **north)
    set_up(shoot, kind="overcast")
    assert not [said for said in page_of(shoot).warnings if "light" in said]
    for day, zone_offset in ((date(2026, 3, 29), 2), (date(2026, 10, 25), 1)):  # Berlin, by the tz database
        shoot = lit_shoot(first_on=day, from_time=time(9))
        set_up(shoot, kind="overcast")
        page = page_of(shoot)
        hero = next(key for key in page.run_day.effective if key.startswith("hero"))
        since, until = page.run_day.effective[hero].window
        light = day_of_light(light_shoot(shoot.pk).get(), day).hours.soft[-1]
        called_at = datetime(day.year, day.month, day.day, 9 - zone_offset, tzinfo=UTC)
        assert since == 0  # it is light before the call
        assert until == int((light.until_at - called_at).total_seconds() // 60)
