from datetime import UTC, date, datetime, time, timedelta

import pytest

from shared.edits import EditedMeanwhile
from shared.links.queries import LinkCalledBack, find_link, link_token
from shoots.plan.models import Shot
from shoots.plan.queries import call_sheet_of, shoot_for_sheets
from shoots.run import queries
from shoots.run.actions import (
    RUN_FEED,
    ChangedMeanwhile,
    NoSuchActivity,
    NoSuchDay,
    NothingToTakeBack,
    call_back_run_feed,
    change_activity,
    change_run,
    drop_nice_shots,
    improve_run,
    make_run_feed,
    move_dish_to_day,
    pin_activity,
    take_shots_back,
    undo_move,
    unpin_activity,
    write_run_times,
)
from shoots.run.activities import Change
from shoots.run.models import Run, RunActivity
from shoots.run.queries import plan_as_it_stands, run_day_of, shoot_for_run
from tests.factories.plan import planned_shoot
from tests.shoots.run.days import faults

pytestmark = pytest.mark.django_db

AT = datetime(2026, 11, 12, 8, 0, tzinfo=UTC)
NOTHING = {"pinned": None, "minutes": None, "hold": None, "window": None}


def run_day(shoot, number=1):
    return run_day_of(shoot_for_run(shoot.pk).get(), number)


def standing(shoot):
    return plan_as_it_stands(run_day(shoot))


def test_looking_for_a_better_plan_saves_it_and_never_a_worse_one():
    shoot = planned_shoot(2)
    costs = [standing(shoot).cost]
    for _ in range(2):
        plan, saved = improve_run(shoot, at=AT)
        assert saved == costs[-1] - plan.cost >= 0
        costs.append(plan.cost)
        assert dict(standing(shoot).starts) == dict(plan.starts)
    run = Run.objects.get()
    assert (run.searches, run.finish, run.planned_at) == (2, plan.finish, AT)
    assert run_day(shoot).is_saved


def test_a_typed_time_stays_and_the_rest_is_planned_round_it():
    shoot = planned_shoot(2)
    hero = f"hero:{shoot.dishes.last().pk}"
    plan = change_activity(shoot, hero, **{**NOTHING, "pinned": 240}, at=AT)
    assert plan.starts[hero] == 240
    assert faults(run_day(shoot).day, dict(plan.starts)) == []
    plan, _ = improve_run(shoot, at=AT)
    assert plan.starts[hero] == 240
    unpin_activity(shoot, hero, at=AT)
    assert run_day(shoot).changes[hero].pinned is None
    assert run_day(shoot).is_saved


def test_a_time_that_cannot_hold_is_kept_and_said():
    shoot = planned_shoot(1)
    hero = f"hero:{shoot.dishes.get().pk}"
    plan = change_activity(shoot, hero, **{**NOTHING, "pinned": 5}, at=AT)
    assert plan.starts[hero] == 5
    assert {each.kind for each in plan.cautions} & {"too_late", "clash"}


def test_changed_minutes_hold_and_light_reach_the_plan():
    shoot = planned_shoot(1)
    step = f"step:{shoot.dishes.get().recipe.steps.first().pk}"
    change_activity(shoot, step, **{**NOTHING, "minutes": 33, "hold": 2, "window": (60, 120)}, at=AT)
    activity = next(each for each in run_day(shoot).day.activities if each.id == step)
    assert (activity.minutes, activity.hold, activity.window) == (33, 2, (60, 120))
    with pytest.raises(NoSuchActivity):
        change_activity(shoot, "hero:0", **NOTHING, at=AT)


def test_a_shot_more_makes_the_plan_old_until_it_is_planned_again():
    shoot = planned_shoot(1)
    improve_run(shoot, at=AT)
    shot = shoot.shots.filter(dish=None).last()
    shot.delete()
    assert not run_day(shoot).is_saved
    plan = standing(shoot)
    assert f"shot:{shot.pk}" not in plan.starts
    improve_run(shoot, at=AT)
    assert run_day(shoot).is_saved
    assert not Run.objects.get().activities.filter(key=f"shot:{shot.pk}").exists()


def test_the_day_is_planned_with_other_terms_and_two_edits_are_noticed():
    shoot = planned_shoot(1)
    values = {"first_set": 60, "strike": 20, "break_minutes": 0, "slack_percent": 10, "ovens": 1, "burners": 2}
    plan = change_run(shoot, values, version=1, at=AT)
    assert plan.starts["strike"] + 20 == plan.finish
    with pytest.raises(EditedMeanwhile):
        change_run(shoot, values, version=1, at=AT)


def test_times_are_written_onto_the_shots_once():
    shoot = planned_shoot(1)
    assert write_run_times(shoot, at=AT) == shoot.shots.count()
    card = shoot.shots.get(title__startswith="Grey card")
    assert card.planned_time == time(9, 43)
    assert write_run_times(shoot, at=AT) == 0
    assert Run.objects.get().times_written_at == AT


def test_a_time_given_by_hand_leaves_everything_else():
    shoot = planned_shoot(1)
    hero = f"hero:{shoot.dishes.get().pk}"
    change_activity(shoot, hero, **{**NOTHING, "minutes": 44}, light="lamp", at=AT)
    assert pin_activity(shoot, hero, pinned=200, at=AT).starts[hero] == 200
    assert pin_activity(shoot, hero, pinned=230, at=AT).starts[hero] == 230
    row = RunActivity.objects.get(key=hero)
    assert (row.minutes, row.light, row.pinned) == (44, "lamp", 230)
    with pytest.raises(NoSuchActivity):
        pin_activity(shoot, "hero:0", pinned=10, at=AT)


def test_one_press_restores_every_start_of_the_plan_before_a_move():
    shoot = planned_shoot(3)
    improve_run(shoot, at=AT)
    hero = f"hero:{shoot.dishes.last().pk}"
    pin_activity(shoot, hero, pinned=300, at=AT)
    before = dict(standing(shoot).starts)
    pin_activity(shoot, hero, pinned=20, at=AT)
    assert dict(standing(shoot).starts) != before
    undo_move(shoot, at=AT)
    assert dict(standing(shoot).starts) == before
    assert run_day(shoot).changes[hero].pinned == 300  # the time it had before the move
    assert run_day(shoot).is_saved
    with pytest.raises(NothingToTakeBack):
        undo_move(shoot, at=AT)


def test_a_move_is_not_taken_back_over_what_somebody_changed_since():
    shoot = planned_shoot(2)
    hero = f"hero:{shoot.dishes.last().pk}"
    pin_activity(shoot, hero, pinned=300, at=AT)
    shoot.shots.filter(dish=None).last().delete()
    with pytest.raises(NothingToTakeBack):
        undo_move(shoot, at=AT)
    assert run_day(shoot).changes[hero].pinned == 300


def test_of_two_people_who_change_one_activity_the_second_is_told():
    shoot = planned_shoot(1)
    hero = f"hero:{shoot.dishes.get().pk}"
    opened = queries.mark_of(Change())
    pin_activity(shoot, hero, pinned=200, at=AT)
    with pytest.raises(ChangedMeanwhile):
        change_activity(shoot, hero, **{**NOTHING, "minutes": 50}, seen=opened, at=AT)
    assert run_day(shoot).changes[hero] == Change(pinned=200)
    now = queries.mark_of(run_day(shoot).changes[hero])
    change_activity(shoot, hero, **{**NOTHING, "minutes": 50}, seen=now, at=AT)
    assert run_day(shoot).changes[hero] == Change(minutes=50)


def test_what_was_typed_about_a_dish_goes_with_it_to_another_day():
    shoot = planned_shoot(2, first_on=date(2026, 12, 1), last_on=date(2026, 12, 2))
    dish = shoot.dishes.last()
    step, hero = f"step:{dish.recipe.steps.first().pk}", f"hero:{dish.pk}"
    change_activity(shoot, step, **{**NOTHING, "minutes": 33, "hold": 4}, at=AT)
    change_activity(shoot, hero, **{**NOTHING, "pinned": 200}, light="lamp", at=AT)
    assert move_dish_to_day(dish, day=2) == 1
    moved = run_day(shoot, 2).changes
    assert (moved[step], moved[hero]) == (Change(minutes=33, hold=4), Change(light="lamp"))
    assert not {step, hero} & set(run_day(shoot).changes)
    assert move_dish_to_day(dish, day=1) == 2
    assert run_day(shoot).changes[step] == Change(minutes=33, hold=4)


def test_times_of_a_second_day_say_their_day():
    shoot = planned_shoot(2, first_on=date(2026, 12, 1), last_on=date(2026, 12, 2))
    second = shoot.dishes.last()
    move_dish_to_day(second, day=2)
    assert write_run_times(shoot, at=AT) == shoot.shots.count()
    hero = Shot.objects.filter(dish=second, planned_time__isnull=False).first()
    assert hero.planned_words == f"Day 2, {hero.planned_time:%H:%M}"
    move_dish_to_day(second, day=1)
    assert queries.page_of_day(shoot_for_run(shoot.pk).get(), 1).shots_to_time
    write_run_times(shoot, at=AT)
    assert not Shot.objects.filter(dish=second, planned_day=2).exists()
    assert not queries.page_of_day(shoot_for_run(shoot.pk).get(), 1).shots_to_time
    sheet = call_sheet_of(shoot_for_sheets(shoot.pk).get(), language="en", at=AT)
    assert {each.on for each in sheet.times} <= {date(2026, 12, 1), date(2026, 12, 2)}


def test_a_plan_that_is_kept_is_looked_at_without_planning(monkeypatch):
    shoot = planned_shoot(2, until_time=time(10, 30))  # too full, so the ways out are kept as well
    improve_run(shoot, at=AT)
    page = queries.page_of_day(shoot_for_run(shoot.pk).get(), 1)
    assert page.ways

    def never(*_args, **_more):
        raise AssertionError("Looking planned.")

    for module in ("shoots.run.queries.first_plan", "shoots.run.activities.first_plan"):
        monkeypatch.setattr(module, never)
    assert queries.page_of_day(shoot_for_run(shoot.pk).get(), 1) == page


def test_a_dish_is_made_on_the_second_day_and_back_again():
    shoot = planned_shoot(2, first_on=date(2026, 11, 14), last_on=date(2026, 11, 15))
    stays, goes = shoot.dishes.all()
    assert move_dish_to_day(goes, day=2) == 1
    first, second = run_day(shoot), run_day(shoot, 2)
    assert [key for key, _ in first.dishes] == [stays.pk]
    assert [key for key, _ in second.dishes] == [goes.pk]
    assert second.on == date(2026, 11, 15)
    portrait = shoot.shots.get(title__startswith="Portrait")
    assert f"shot:{portrait.pk}" in second.drafted  # last of all, in a clean apron
    assert faults(second.day, dict(plan_as_it_stands(second).starts)) == []
    change_run(shoot, {"first_set": 20}, version=1, at=AT)
    improve_run(shoot, at=AT, day=2)
    assert list(Run.objects.values_list("day", "first_set")) == [
        (1, 20),
        (2, 20),
    ]  # the second reckons as the first does
    shots = shoot.shots.count()
    assert write_run_times(shoot, at=AT) == shots
    days = dict(shoot.shots.exclude(dish=None).values_list("dish", "planned_day"))
    assert days == {stays.pk: 1, goes.pk: 2}
    events = queries.calendar_of_shoot(shoot_for_run(shoot.pk).get(), at=AT)
    assert "DTSTART:20261114T" in events
    assert "DTSTART:20261115T" in events
    uids = [line for line in events.split("\r\n") if line.startswith("UID:")]
    assert len(set(uids)) == len(uids) > 4  # RFC 5545, 3.8.4.7: globally unique
    assert move_dish_to_day(goes, day=1) == 2
    assert [key for key, _ in run_day(shoot).dishes] == [stays.pk, goes.pk]
    with pytest.raises(NoSuchDay, match="has 2 days"):
        move_dish_to_day(goes, day=3)


def test_a_shoot_that_lost_its_second_day_makes_all_dishes_on_the_first():
    shoot = planned_shoot(2, first_on=date(2026, 11, 14), last_on=date(2026, 11, 15))
    move_dish_to_day(shoot.dishes.last(), day=2)
    type(shoot).objects.filter(pk=shoot.pk).update(last_on=shoot.first_on)
    assert len(run_day(shoot, 2).dishes) == 2
    with pytest.raises(NoSuchDay, match="has 1 day\\."):
        move_dish_to_day(shoot.dishes.last(), day=2)


def test_nice_pictures_are_dropped_and_taken_back():
    shoot = planned_shoot(1)
    nice = set(shoot.shots.filter(is_must=False).values_list("pk", flat=True))
    length = standing(shoot).finish
    assert set(drop_nice_shots(shoot)) == nice
    assert standing(shoot).finish < length
    assert set(shoot.shots.filter(state=Shot.State.SKIPPED).values_list("pk", flat=True)) == nice
    assert take_shots_back(shoot, shots=[*nice, 0]) == len(nice)
    assert standing(shoot).finish == length


def test_the_address_for_calendars_is_one_at_a_time_and_can_be_called_back():
    shoot = planned_shoot(1, first_on=date(2026, 11, 14), last_on=date(2026, 11, 15))
    first, second = make_run_feed(shoot, at=AT), make_run_feed(shoot, at=AT)
    with pytest.raises(LinkCalledBack):
        find_link(link_token(first), RUN_FEED, AT)
    assert find_link(link_token(second), RUN_FEED, AT + timedelta(days=30)) == second
    assert second.expires_at.date() == date(2027, 1, 14)
    assert call_back_run_feed(shoot, at=AT) == 1
