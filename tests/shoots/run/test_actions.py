from datetime import UTC, datetime, time

import pytest

from shared.edits import EditedMeanwhile
from shoots.run.actions import (
    NoSuchActivity,
    change_activity,
    change_run,
    improve_run,
    unpin_activity,
    write_run_times,
)
from shoots.run.models import Run
from shoots.run.queries import plan_as_it_stands, run_day_of, shoot_for_run
from tests.factories.plan import planned_shoot
from tests.shoots.run.days import faults

pytestmark = pytest.mark.django_db

AT = datetime(2026, 11, 12, 8, 0, tzinfo=UTC)
NOTHING = {"pinned": None, "minutes": None, "hold": None, "window": None}


def run_day(shoot):
    return run_day_of(shoot_for_run(shoot.pk).get())


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
