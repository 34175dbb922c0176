"""What can be done to the run of a day: plan it, look for a better one, give an activity a time or other minutes, write the times down."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from django.db import transaction

from shared.edits import save_edit
from shared.errors import Refusal
from shoots.brief.actions import lock_shoots
from shoots.brief.models import Shoot
from shoots.plan.actions import set_planned_times
from shoots.run.day_plan import Plan
from shoots.run.models import Run, RunActivity
from shoots.run.queries import (
    RunDay,
    plan_as_it_stands,
    run_day_of,
    run_page_of,
    saved_starts,
    shoot_for_run,
)
from shoots.run.scheduling import plan_day

SECONDS_TO_SEARCH, SECONDS_AFTER_A_CHANGE = 1.0, 0.2


class NoSuchActivity(Refusal):
    """The activity went from the day while its page was open."""

    status = 404

    def __init__(self) -> None:
        super().__init__("This is no longer on the day.", "Nothing was changed.", "Open the run of the day again.")


def improve_run(shoot: Shoot, *, at: datetime) -> tuple[Plan, int]:
    """Look for a better plan and save it; the plan that stands is never replaced by a worse one. Also how many minutes it gave back.

    Each look sets out from another seed, so that pressing again looks elsewhere; the same looks in the same order give the same plan.
    The search itself holds no lock: others go on working meanwhile, and what they changed is planned with.
    """
    before = _run_day(shoot.pk)
    was = plan_as_it_stands(before)
    seed = before.run.searches + 1 if before.run else 1
    plan = plan_day(before.day, seconds=SECONDS_TO_SEARCH, seed=seed, begin=was.starts)
    with transaction.atomic():
        run = _locked_run(shoot)
        run_day = _run_day(shoot.pk)
        standing = plan_as_it_stands(run_day)
        if run_day.digest != before.digest:
            was, plan = standing, plan_day(run_day.day, seconds=0, begin=standing.starts)
        elif standing.cost < plan.cost:  # somebody else looked at the same time and found more
            plan = standing
        _save(run_day, plan, searches=run.searches + 1, at=at)
    return plan, was.cost - plan.cost


@transaction.atomic
def change_activity(
    shoot: Shoot,
    key: str,
    *,
    pinned: int | None,
    minutes: int | None,
    hold: int | None,
    window: tuple[int, int] | None,
    at: datetime,
) -> Plan:
    """Give an activity a time (minutes from the call) and other minutes, hold limit or light; None is as drafted. The rest is planned round it.

    Raises NoSuchActivity.
    """
    run = _locked_run(shoot)
    if key not in _run_day(run.shoot_id).drafted:
        raise NoSuchActivity
    since, until = window or (None, None)
    values = {"pinned": pinned, "minutes": minutes, "hold": hold, "light_from": since, "light_until": until}
    RunActivity.objects.update_or_create(run=run, key=key, defaults=values)
    return _plan_again(run, at=at)


@transaction.atomic
def unpin_activity(shoot: Shoot, key: str, *, at: datetime) -> Plan:
    """The activity has no time of its own any more and is planned with the rest."""
    run = _locked_run(shoot)
    run.activities.filter(key=key).update(pinned=None)
    return _plan_again(run, at=at)


@transaction.atomic
def change_run(shoot: Shoot, values: dict[str, int], *, version: int, at: datetime) -> Plan:
    """Change what the whole day reckons with: first set, breaks, strike, slack, ovens, burners. Raises EditedMeanwhile."""
    run = _locked_run(shoot)
    for name, value in values.items():
        setattr(run, name, value)
    save_edit(run, values, version=version)
    return _plan_again(run, at=at)


@transaction.atomic
def write_run_times(shoot: Shoot, *, at: datetime) -> int:
    """Write the times of the plan onto the shots, so that shot list, call sheet and cook's sheet show them. How many changed.

    A plan that is not saved yet is saved with it.
    """
    run = _locked_run(shoot)
    run_day = _run_day(run.shoot_id)
    plan = plan_as_it_stands(run_day)
    _save(run_day, plan, searches=run.searches, at=at)
    Run.objects.filter(pk=run.pk).update(times_written_at=at)
    return set_planned_times(run_day.shoot, run_page_of(run_day, plan).shot_times)


def _locked_run(shoot: Shoot) -> Run:
    lock_shoots(shoot.pk)
    run, _ = Run.objects.get_or_create(shoot_id=shoot.pk)
    return run


def _run_day(shoot_pk: int) -> RunDay:
    return run_day_of(shoot_for_run(shoot_pk).get())


def _plan_again(run: Run, *, at: datetime) -> Plan:
    run_day = _run_day(run.shoot_id)
    begin = saved_starts(run_day)
    plan = plan_day(run_day.day, seconds=SECONDS_AFTER_A_CHANGE, seed=run.searches + 1, begin=begin or None)
    _save(run_day, plan, searches=run.searches, at=at)
    return plan


def _save(run_day: RunDay, plan: Plan, *, searches: int, at: datetime) -> None:
    """Write the starts; what is gone from the day and was never changed by hand goes too."""
    run = Run.objects.get(shoot_id=run_day.shoot.pk)
    rows = {row.key: row for row in run.activities.all()}
    _write_starts(run, rows, plan)
    gone = [row.pk for key, row in rows.items() if key not in plan.starts]
    run.activities.filter(pk__in=gone, minutes=None, hold=None, pinned=None, light_from=None, light_until=None).delete()
    run.activities.filter(pk__in=gone).update(start=None)
    Run.objects.filter(pk=run.pk).update(
        digest=run_day.digest, finish=plan.finish, bound=plan.bound, searches=searches, planned_at=at
    )


def _write_starts(run: Run, rows: dict[str, RunActivity], plan: Plan) -> None:
    new: Iterable[RunActivity] = [
        RunActivity(run=run, key=key, start=start) for key, start in plan.starts.items() if key not in rows
    ]
    changed = [row for key, row in rows.items() if key in plan.starts and row.start != plan.starts[key]]
    for row in changed:
        row.start = plan.starts[row.key]
    RunActivity.objects.bulk_create(new)
    RunActivity.objects.bulk_update(changed, ["start"])
