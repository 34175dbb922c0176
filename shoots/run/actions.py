"""What can be done to the run of a day: plan it, look for a better one, give an activity a time or other minutes, write the times down."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import UTC, datetime, time, timedelta

from django.db import transaction

from shared.edits import save_edit
from shared.errors import Refusal
from shared.links.actions import call_back_links, make_link
from shared.links.models import PrivateLink
from shoots.brief.actions import lock_shoots
from shoots.brief.models import Dish, Shoot
from shoots.plan.actions import set_planned_times, set_shot_state
from shoots.plan.models import Shot
from shoots.run.activities import Change
from shoots.run.day_plan import Plan
from shoots.run.models import DishDay, Run, RunActivity
from shoots.run.queries import (
    TERMS,
    RunDay,
    days_planned,
    first_terms,
    mark_of,
    nice_to_drop,
    plan_as_it_stands,
    run_day_of,
    run_page_of,
    saved_starts,
    shoot_for_run,
    ways_out,
)
from shoots.run.scheduling import plan_day, plan_of

RUN_FEED = "run_feed"
FEED_STAYS = timedelta(days=60)
SECONDS_TO_SEARCH, SECONDS_AFTER_A_CHANGE = 1.0, 0.2


class NoSuchActivity(Refusal):
    """The activity went from the day while its page was open."""

    status = 404

    def __init__(self) -> None:
        super().__init__("This is no longer on the day.", "Nothing was changed.", "Open the run of the day again.")


class NoSuchDay(Refusal):
    """The shoot has no day of that number."""

    def __init__(self, days: int) -> None:
        super().__init__(
            f"The shoot has {days} day{'' if days == 1 else 's'}.",
            "Nothing was moved.",
            "Give the shoot a later last day first, on its own page.",
        )


class NothingToTakeBack(Refusal):
    """The last move was taken back already, or the day has changed since."""

    def __init__(self) -> None:
        super().__init__(
            "There is no move to take back: the day has changed since.",
            "Nothing was changed.",
            "Give the times anew where you want them.",
        )


class ChangedMeanwhile(Refusal):
    """Somebody gave the activity another time or other minutes after its form was opened."""

    def __init__(self) -> None:
        super().__init__(
            "Someone changed this after you opened it.",
            "Your changes are kept below and are not saved yet.",
            "Open the page in a second tab to compare, then save again to put yours on top.",
        )


def improve_run(shoot: Shoot, *, at: datetime, day: int = 1) -> tuple[Plan, int]:
    """Look for a better plan and save it; the plan that stands is never replaced by a worse one. Also how many minutes it gave back.

    Each look sets out from another seed, so that pressing again looks elsewhere; the same looks in the same order give the same plan.
    The search itself holds no lock: others go on working meanwhile, and what they changed is planned with.
    """
    before = _run_day(shoot.pk, day)
    was = plan_as_it_stands(before)
    seed = before.run.searches + 1 if before.run else 1
    plan = plan_day(before.day, seconds=SECONDS_TO_SEARCH, seed=seed, begin=was.starts)
    with transaction.atomic():
        run = _locked_run(shoot, day)
        run_day = _run_day(shoot.pk, day)
        standing = plan_as_it_stands(run_day)
        if run_day.digest != before.digest:
            was, plan = standing, plan_day(run_day.day, seconds=0, begin=standing.starts)
        elif standing.cost < plan.cost:  # somebody else looked at the same time and found more
            plan = standing
        _save(run, run_day, plan, searches=run.searches + 1, at=at)
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
    light: str = "",
    day: int = 1,
    seen: str | None = None,
) -> Plan:
    """Give an activity a time (minutes from the call) and other minutes, hold limit or light; None is as drafted. The rest is planned round it.

    ``seen``: the mark (``mark_of``) of what stood there when the person looked. Raises NoSuchActivity, ChangedMeanwhile.
    """
    if seen is not None:
        run = _locked_run(shoot, day)
        if seen != mark_of(_run_day(run.shoot_id, day).changes.get(key, Change())):
            raise ChangedMeanwhile
    since, until = window or (None, None)
    values = {"pinned": pinned, "minutes": minutes, "hold": hold, "light_from": since, "light_until": until, "light": light}  # fmt: skip
    return _change_row(shoot, key, values, day=day, at=at)


@transaction.atomic
def pin_activity(shoot: Shoot, key: str, *, pinned: int, at: datetime, day: int = 1) -> Plan:
    """Give an activity a time, in minutes from the call; everything else about it stays, and the rest is planned round it.

    The plan before is kept, so that ``undo_move`` can restore it. Raises NoSuchActivity.
    """
    run = _locked_run(shoot, day)
    run_day = _run_day(run.shoot_id, day)
    standing = plan_as_it_stands(run_day)
    before = {
        "key": key,
        "pinned": run_day.changes.get(key, Change()).pinned,
        "starts": dict(standing.starts),
        "said": list(run_page_of(run_day, standing).warnings),
        "digest": run_day.digest,
    }
    plan = _change_row(shoot, key, {"pinned": pinned}, day=day, at=at)
    Run.objects.filter(pk=run.pk).update(before={**before, "after": _run_day(run.shoot_id, day).digest})
    return plan


@transaction.atomic
def undo_move(shoot: Shoot, *, at: datetime, day: int = 1) -> Plan:
    """Take the last move by hand back: its time and every start are as they were before it. Raises NothingToTakeBack."""
    run = _locked_run(shoot, day)
    before = run.before
    if not before or before["after"] != _run_day(run.shoot_id, day).digest:
        raise NothingToTakeBack
    run.activities.filter(key=before["key"]).update(pinned=before["pinned"])
    run_day = _run_day(run.shoot_id, day)
    if run_day.digest != before["digest"]:
        raise NothingToTakeBack
    plan = plan_of(run_day.day, before["starts"])
    _save(run, run_day, plan, searches=run.searches, at=at)
    return plan


@transaction.atomic
def unpin_activity(shoot: Shoot, key: str, *, at: datetime, day: int = 1) -> Plan:
    """The activity has no time of its own any more and is planned with the rest."""
    run = _locked_run(shoot, day)
    run.activities.filter(key=key).update(pinned=None)
    return _plan_again(run, at=at)


@transaction.atomic
def change_run(shoot: Shoot, values: dict[str, int], *, version: int, at: datetime, day: int = 1) -> Plan:
    """Change what the whole day reckons with: first set, breaks, strike, slack, ovens, burners. Raises EditedMeanwhile."""
    run = _locked_run(shoot, day)
    for name, value in values.items():
        setattr(run, name, value)
    save_edit(run, values, version=version)
    return _plan_again(run, at=at)


@transaction.atomic
def move_dish_to_day(dish: Dish, *, day: int) -> int:
    """The dish is made on that day of its shoot, with its shots. The day it was on before. Raises NoSuchDay.

    What was typed about its minutes, hold and light goes with it; a time of the clock was one of the other day and does not.
    Both days are planned anew when they are looked at; their plans of before stay until then.
    """
    lock_shoots(dish.shoot_id)
    days = days_planned(Shoot.objects.get(pk=dish.shoot_id))
    if not 1 <= day <= days:
        raise NoSuchDay(days)
    was = DishDay.objects.filter(dish=dish).values_list("day", flat=True).first() or 1
    was = min(was, days)
    if was != day:
        keys = [key for key, each in _run_day(dish.shoot_id, was).drafted.items() if each.dish == dish.pk]
        here = RunActivity.objects.filter(run__shoot=dish.shoot_id, run__day=was, key__in=keys)
        if typed := list(here.exclude(minutes=None, hold=None, light_from=None, light="").values_list("pk", flat=True)):
            there = _locked_run(dish.shoot, day)
            there.activities.filter(key__in=keys).delete()
            RunActivity.objects.filter(pk__in=typed).update(run=there, pinned=None, start=None)
    DishDay.objects.update_or_create(dish=dish, defaults={"day": day})
    return was


@transaction.atomic
def drop_nice_shots(shoot: Shoot, *, day: int = 1) -> list[int]:
    """Skip the day's open shots that are only nice to have. The keys of those, for ``take_shots_back``."""
    lock_shoots(shoot.pk)
    dropped = nice_to_drop(_run_day(shoot.pk, day))
    for shot in Shot.objects.filter(pk__in=dropped):
        set_shot_state(shot, state=Shot.State.SKIPPED)
    return dropped


@transaction.atomic
def take_shots_back(shoot: Shoot, *, shots: Iterable[int]) -> int:
    """Skipped shots of the shoot are planned again. How many."""
    lock_shoots(shoot.pk)
    found = list(shoot.shots.filter(pk__in=shots, state=Shot.State.SKIPPED))
    for shot in found:
        set_shot_state(shot, state=Shot.State.PLANNED)
    return len(found)


@transaction.atomic
def write_run_times(shoot: Shoot, *, at: datetime) -> int:
    """Write the times of the plan onto the shots, so that shot list, call sheet and cook's sheet show them. How many changed.

    All days of the shoot. A plan that is not saved yet is saved with it.
    """
    changed = 0
    lock_shoots(shoot.pk)
    planned = shoot_for_run(shoot.pk).get()
    for day in range(1, days_planned(planned) + 1):
        if not run_day_of(planned, day).day.activities:
            continue
        run = _locked_run(shoot, day)
        run_day = _run_day(run.shoot_id, day)
        plan = plan_as_it_stands(run_day)
        _save(run, run_day, plan, searches=run.searches, at=at)
        Run.objects.filter(pk=run.pk).update(times_written_at=at)
        changed += set_planned_times(run_day.shoot, run_page_of(run_day, plan).shot_times, day=day)
    return changed


@transaction.atomic
def make_run_feed(shoot: Shoot, *, at: datetime) -> PrivateLink:
    """A private address of the run for a phone's calendar, open until 60 days after the shoot; an earlier one is called back."""
    lock_shoots(shoot.pk)
    call_back_links(_subject(shoot), purpose=RUN_FEED, at=at)
    ends = datetime.combine(shoot.last_on or shoot.first_on, time.max, UTC) if shoot.first_on else at
    return make_link(RUN_FEED, subject=_subject(shoot), expires_at=max(ends, at) + FEED_STAYS, at=at)


@transaction.atomic
def call_back_run_feed(shoot: Shoot, *, at: datetime) -> int:
    """The address for calendars gives nothing from now on. How many were open."""
    return call_back_links(_subject(shoot), purpose=RUN_FEED, at=at)


def _subject(shoot: Shoot) -> str:
    return f"shoot:{shoot.pk}"


def _change_row(shoot: Shoot, key: str, values: Mapping[str, object], *, day: int, at: datetime) -> Plan:
    run = _locked_run(shoot, day)
    if key not in _run_day(run.shoot_id, day).drafted:
        raise NoSuchActivity
    RunActivity.objects.update_or_create(run=run, key=key, defaults=values)
    return _plan_again(run, at=at)


def _locked_run(shoot: Shoot, day: int) -> Run:
    lock_shoots(shoot.pk)
    usual = first_terms(shoot_for_run(shoot.pk).get()) if day > 1 else Run()
    run, _ = Run.objects.get_or_create(
        shoot_id=shoot.pk, day=day, defaults={name: getattr(usual, name) for name in TERMS}
    )
    return run


def _run_day(shoot_pk: int, day: int) -> RunDay:
    return run_day_of(shoot_for_run(shoot_pk).get(), day)


def _plan_again(run: Run, *, at: datetime) -> Plan:
    run_day = _run_day(run.shoot_id, run.day)
    begin = saved_starts(run_day)
    plan = plan_day(run_day.day, seconds=SECONDS_AFTER_A_CHANGE, seed=run.searches + 1, begin=begin or None)
    _save(run, run_day, plan, searches=run.searches, at=at)
    return plan


def _save(run: Run, run_day: RunDay, plan: Plan, *, searches: int, at: datetime) -> None:
    """Write the starts; what is gone from the day and was never changed by hand goes too."""
    rows = {row.key: row for row in run.activities.all()}
    _write_starts(run, rows, plan)
    gone = [row.pk for key, row in rows.items() if key not in plan.starts]
    untouched = {"minutes": None, "hold": None, "pinned": None, "light_from": None, "light_until": None, "light": ""}
    run.activities.filter(pk__in=gone, **untouched).delete()
    run.activities.filter(pk__in=gone).update(start=None)
    is_too_full = run_page_of(run_day, plan).over > 0
    Run.objects.filter(pk=run.pk).update(
        before=None,
        digest=run_day.digest,
        inputs=run_day.inputs,
        breaks=sum(each.kind == "break" for each in run_day.draft.activities),
        ways=[[way.words, way.minutes, way.dish] for way in ways_out(run_day)] if is_too_full else [],
        finish=plan.finish,
        bound=plan.bound,
        searches=searches,
        planned_at=at,
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
