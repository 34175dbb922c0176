"""What is read for the run of the day: dishes, steps and shots as activities, hours and people, and the plan as it stands."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime, time, timedelta
from math import ceil
from zoneinfo import ZoneInfo

from django.db.models import Prefetch, QuerySet
from django.utils import timezone

from clients.models import Kitchen
from shared.business.queries import business_or_none
from shoots.brief.models import Dish, Part, Shoot, ShootPerson
from shoots.plan.lexicon import find_actions
from shoots.plan.models import Moment, Shot, Step
from shoots.plan.queries import kitchen_lexicon
from shoots.run import sentences
from shoots.run.activities import (
    CAMERA,
    COOK,
    KITCHEN,
    NAMES,
    Change,
    DayDraft,
    DishOf,
    Drafted,
    ShotOf,
    StepOf,
    Terms,
    day_of,
    done_by,
    draft_day,
    minutes_by_sentence,
    with_breaks,
)
from shoots.run.clocks import FoodClock, food_clock
from shoots.run.day_plan import DAY, Day, Plan, waits
from shoots.run.icalendar import Event
from shoots.run.models import Run
from shoots.run.scheduling import plan_day, plan_of
from shoots.run.snapshot import RunLine, RunSheet
from shoots.run.timeline import Timeline, draw

CALL = time(9)  # where a shoot says no time


@dataclass(frozen=True)
class RunDay:
    """A shoot's day ready to be planned. ``run`` is None while nothing was saved."""

    shoot: Shoot
    run: Run | None
    call: time
    terms: Terms
    draft: DayDraft
    changes: dict[str, Change]
    day: Day
    cook_goes: int | None = None
    notes: tuple[str, ...] = ()

    @property
    def digest(self) -> str:
        """Stays the same as long as there is the same to plan."""
        return hashlib.sha256(f"{self.call}{self.day!r}".encode()).hexdigest()

    @property
    def drafted(self) -> dict[str, Drafted]:
        return {each.key: each for each in self.draft.activities}

    @property
    def is_saved(self) -> bool:
        return self.run is not None and self.run.digest == self.digest


@dataclass(frozen=True)
class RunRow:
    """One line of the run as it is read."""

    key: str
    kind: str
    at: time
    until: time
    title: str
    dish: str
    who: str
    minutes: int
    why: str
    is_pinned: bool
    wait: int
    light: str = ""


@dataclass(frozen=True)
class RunPage:
    """A plan in words and lines: what the page, the paper and the calendar show."""

    run_day: RunDay
    plan: Plan
    rows: tuple[RunRow, ...]
    timeline: Timeline
    warnings: tuple[str, ...]
    food: tuple[FoodClock, ...]
    finish_at: time
    bound_at: time
    done_by_at: time
    slack: int
    over: int
    shot_times: dict[int, time] = field(default_factory=dict)

    @property
    def is_best(self) -> bool:
        return self.plan.finish <= self.plan.bound

    @property
    def finish_words(self) -> str:
        return self._on_which_day(self.finish_at, self.plan.finish)

    @property
    def done_by_words(self) -> str:
        return self._on_which_day(self.done_by_at, self.plan.finish + self.slack)

    def _on_which_day(self, at: time, minute: int) -> str:
        days = (self.run_day.call.hour * 60 + self.run_day.call.minute + minute) // DAY
        return f"{at:%H:%M}" + {0: "", 1: " the next day"}.get(days, f", {days} days later")

    @property
    def sentence(self) -> str:
        """How the day stands, in one line."""
        said = f"Call {self.run_day.call:%H:%M}, done {self.finish_words}, with {sentences.span(self.slack)} of slack by {self.done_by_words}."
        count = len(self.warnings)
        return said + (f" {count} thing{'' if count == 1 else 's'} to look at." if count else " All of it holds.")


def shoot_for_run(pk: int) -> QuerySet[Shoot]:
    """A shoot with everything its run is made from."""
    moments = Prefetch("moments", queryset=Moment.objects.order_by("order", "pk"))
    steps = Prefetch("recipe__steps", queryset=Step.objects.prefetch_related(moments))
    return (
        Shoot.objects.filter(pk=pk)
        .select_related("client", "kitchen")
        .prefetch_related(
            Prefetch("people", queryset=ShootPerson.objects.select_related("person").order_by("pk")),
            Prefetch("shots", queryset=Shot.objects.select_related("moment").order_by("order", "pk")),
            Prefetch("dishes", queryset=Dish.objects.select_related("recipe").order_by("order", "pk").prefetch_related(steps)),
            "kitchen__free_hours",
        )
    )  # fmt: skip


def run_day_of(shoot: Shoot) -> RunDay:
    """A shoot of ``shoot_for_run`` as a day to be planned, with what was changed by hand."""
    run = Run.objects.filter(shoot=shoot).prefetch_related("activities").first()
    rows = list(run.activities.all()) if run else []
    changes = {
        row.key: Change(
            row.minutes,
            row.hold,
            row.pinned,
            (row.light_from, row.light_until) if row.light_from is not None and row.light_until is not None else None,
        )
        for row in rows
    }
    call = shoot.from_time or CALL
    terms, cook_goes, notes = _terms(shoot, run or Run(), call)
    draft = with_breaks(draft_day(_dishes(shoot), _day_shots(shoot), terms), terms, changes)
    return RunDay(shoot, run, call, terms, draft, changes, day_of(draft, terms, changes), cook_goes, notes)


def plan_as_it_stands(run_day: RunDay) -> Plan:
    """The saved plan; where there is none, or the day has changed since, a first one that is not saved."""
    starts = saved_starts(run_day)
    if run_day.is_saved and run_day.run is not None and len(starts) == len(run_day.day.activities):
        return plan_of(run_day.day, starts, run_day.run.bound)
    return plan_day(run_day.day, seconds=0, begin=starts or None)


def saved_starts(run_day: RunDay) -> dict[str, int]:
    """The starts that were saved of what is on the day still."""
    if run_day.run is None:
        return {}
    there = run_day.drafted
    return {row.key: row.start for row in run_day.run.activities.all() if row.start is not None and row.key in there}


def run_page_of(run_day: RunDay, plan: Plan) -> RunPage:
    """A plan as it is shown."""
    call, drafted, day = run_day.call, run_day.drafted, run_day.day
    whole = done_by(plan.finish, run_day.terms.slack_percent)
    ends_at = run_day.terms.ends_at
    over = max(0, whole - ends_at) if ends_at is not None else max(0, whole - DAY)
    food = _food(run_day, plan)
    said = [sentences.say_too_full(over, _ways_out(run_day))] if over else []
    said += [
        sentences.say(each, day, drafted, plan.starts, call)
        for each in plan.cautions
        if not (each.kind == "overfull" and over)
    ]
    said += [sentences.say_food(each) for each in food if each.limit]
    said += _after_the_cook_went(run_day, plan)
    waiting = waits(day, plan.starts)
    by_id = {activity.id: activity for activity in day.activities}
    rows = tuple(
        _row(run_day, drafted[key], start, by_id[key].minutes, waiting.get(key, 0))
        for key, start in sorted(plan.starts.items(), key=lambda each: (each[1], each[0]))
    )
    names = {
        key: (
            each.kind,
            {"hero": each.dish_name, "break": "Break"}.get(each.kind, each.title),
            sentences.title_of(each),
        )
        for key, each in drafted.items()
    }
    times = {
        shot: sentences.clock_of(plan.starts[each.key] + min(offset, by_id[each.key].minutes), call)
        for each in drafted.values()
        for shot, offset in each.shots
    }
    return RunPage(
        run_day=run_day,
        plan=plan,
        rows=rows,
        timeline=draw(day, plan.starts, names, call, until=ends_at or 0),
        warnings=tuple(said),
        food=food,
        finish_at=sentences.clock_of(plan.finish, call),
        bound_at=sentences.clock_of(plan.bound, call),
        done_by_at=sentences.clock_of(whole, call),
        slack=whole - plan.finish,
        over=over,
        shot_times=times,
    )


def moment_at(shoot: Shoot, call: time, minute: int) -> datetime | None:
    """The moment of a minute of the day, whose call is in the kitchen's time zone, or the business's while no kitchen is named; None while the shoot has no day."""
    if shoot.first_on is None:
        return None
    zone = ZoneInfo(shoot.kitchen.time_zone) if shoot.kitchen else timezone.get_current_timezone()
    # Counted on from the call in real minutes: where the clocks change in the night, the shoot is not an hour longer.
    return datetime.combine(shoot.first_on, call, zone).astimezone(UTC) + timedelta(minutes=minute)


# Below: how a shoot becomes a day


def _dishes(shoot: Shoot, *, musts_only: bool = False) -> list[DishOf]:
    shots = _shots(shoot, musts_only=musts_only)
    found = []
    for dish in shoot.dishes.all():
        recipe = getattr(dish, "recipe", None)
        steps = list(recipe.steps.all()) if recipe else []
        own = [shot for shot in shots if shot.dish_id == dish.pk]
        of_step = {step.pk: [shot for shot in own if shot.moment and shot.moment.step_id == step.pk] for step in steps}
        loose = [shot for shot in own if not shot.moment or shot.moment.step_id not in of_step]
        found.append(
            DishOf(
                dish.pk,
                dish.name,
                tuple(_step(step, of_step[step.pk]) for step in steps),
                tuple(_shot(shot) for shot in loose),
            )
        )
    return found


def _step(step: Step, shots: list[Shot]) -> StepOf:
    lexicon = kitchen_lexicon()
    actions = [moment.action for moment in step.moments.all() if lexicon.knows(moment.action)]
    actions = actions or [found.action_id for found in find_actions(step.text, lexicon)]
    longest = step.minutes_to or step.minutes_from
    minutes = max(1, ceil(longest)) if longest else None
    # The recipe keeps the first time a step names; a person who changed the step has said how long all of it takes.
    parts = minutes_by_sentence(step.text) if step.version == 1 else ()
    found = tuple(_shot(shot) for shot in shots)
    return StepOf(step.pk, step.text, tuple(dict.fromkeys(actions)), minutes, found, parts)


def _shot(shot: Shot) -> ShotOf:
    return ShotOf(shot.pk, shot.title, shot.stage, shot.is_must)


def _day_shots(shoot: Shoot, *, musts_only: bool = False) -> list[ShotOf]:
    return [_shot(shot) for shot in _shots(shoot, musts_only=musts_only) if shot.dish_id is None]


def _shots(shoot: Shoot, *, musts_only: bool) -> list[Shot]:
    return [shot for shot in shoot.shots.all() if shot.state != Shot.State.SKIPPED and (shot.is_must or not musts_only)]


def _terms(shoot: Shoot, run: Run, call: time) -> tuple[Terms, int | None, tuple[str, ...]]:
    parts: dict[str, list[ShootPerson]] = {}
    for row in shoot.people.all():
        parts.setdefault(row.part, []).append(row)
    cooks = parts.get(Part.COOK, [])
    hands = len(cooks) + len(parts.get(Part.KITCHEN_HAND, []))
    closed: dict[str, tuple[tuple[int, int], ...]] = {}
    notes: list[str] = []
    goes = None
    if len(cooks) == 1 and hands == 1:
        comes = _minutes(cooks[0].from_time, call)
        closed[COOK] = ((0, comes),) if comes else ()
        goes = _minutes(cooks[0].until_time, call)
    shut, last_out = _kitchen_hours(shoot, call, notes)
    closed[KITCHEN] = shut
    ends = [each for each in (_minutes(shoot.until_time, call), last_out) if each]
    if not ends:
        notes.append("The shoot has no end and the kitchen no hours, so nothing says whether the day is too full.")
    if not cooks:
        notes.append("Nobody is named as the cook yet; one cook is reckoned with.")
    terms = Terms(
        run.first_set, run.strike, run.break_minutes, run.slack_percent,
        cooks=max(1, hands), ovens=run.ovens, burners=run.burners,
        has_stylist=Part.FOOD_STYLIST in parts, has_client=Part.DECIDES in parts,
        closed=closed, ends_at=min(ends, default=None),
    )  # fmt: skip
    return terms, goes, tuple(notes)


def _minutes(at: time | None, call: time) -> int:
    """Minutes after the call, none where the time is before it or not said."""
    return max(0, (at.hour - call.hour) * 60 + at.minute - call.minute) if at else 0


def _kitchen_hours(shoot: Shoot, call: time, notes: list[str]) -> tuple[tuple[tuple[int, int], ...], int]:
    """When the kitchen is closed between its free hours, and when the last of them ends."""
    day: date | None = shoot.first_on
    if shoot.kitchen is None or day is None:
        return (), 0
    free = [
        (_minutes(each.from_time, call), _minutes(each.until_time, call))
        for each in shoot.kitchen.free_hours.all()
        if each.weekday == day.weekday() and _minutes(each.until_time, call)
    ]
    if not free:
        if shoot.kitchen.free_hours.all():
            notes.append(f"{shoot.kitchen} has no hours free of service on a {day:%A}. Ask the kitchen.")
        else:
            notes.append(
                f"No hours free of service are written down for {shoot.kitchen}, so it counts as free all day."
            )
        return (), 0
    shut, now = [], 0
    for since, until in sorted(free):
        if since > now:
            shut.append((now, since))
        now = max(now, until)
    return tuple(shut), now


def food_spans(run_day: RunDay, plan: Plan) -> list[tuple[Drafted, int, int]]:
    """The hero of each dish with steps, the minute its food leaves heat or fridge and the minute its last picture is done."""
    by_id = {activity.id: activity for activity in run_day.day.activities}
    found = []
    for hero in run_day.draft.activities:
        steps = [each for each in run_day.draft.activities if each.kind == "step" and each.dish == hero.dish]
        if hero.kind != "hero" or not steps:
            continue
        hot = [plan.starts[each.key] + by_id[each.key].minutes for each in steps if each.is_hot]
        leaves = max(hot) if hot else min(plan.starts[each.key] for each in steps)
        found.append((hero, leaves, plan.starts[hero.key] + by_id[hero.key].minutes))
    return found


def _food(run_day: RunDay, plan: Plan) -> tuple[FoodClock, ...]:
    return tuple(food_clock(hero.dish_name, leaves, done) for hero, leaves, done in food_spans(run_day, plan))


def _ways_out(run_day: RunDay) -> dict[str, int]:
    """What could be left out of a day that is too full, and the minutes each way gives back with its slack, the most first."""
    whole = _length(run_day, run_day.draft.activities)
    nice = [shot for shot in run_day.shoot.shots.all() if not shot.is_must and shot.state != Shot.State.SKIPPED]
    found: dict[str, int] = {}
    for hero in run_day.draft.activities:
        if hero.kind == "hero":
            gone = {each.key for each in run_day.draft.activities if each.dish == hero.dish}
            left = tuple(_without(each, gone) for each in run_day.draft.activities if each.key not in gone)
            found[f"Moving {hero.dish_name} to a second day"] = whole - _length(run_day, left)
    most = sorted(found.items(), key=lambda each: -each[1])
    if nice:
        musts = draft_day(
            _dishes(run_day.shoot, musts_only=True), _day_shots(run_day.shoot, musts_only=True), run_day.terms
        )
        drop = f"Dropping {len(nice)} picture{'' if len(nice) == 1 else 's'} that would only be nice to have"
        most.insert(0, (drop, whole - _length(run_day, with_breaks(musts, run_day.terms, run_day.changes).activities)))
    return {way: minutes for way, minutes in most if minutes > 0}


def _length(run_day: RunDay, activities: tuple[Drafted, ...]) -> int:
    """How long a day with these activities is in its first plan, slack included."""
    day = day_of(DayDraft(activities), run_day.terms, run_day.changes)
    return done_by(plan_day(day, seconds=0).finish, run_day.terms.slack_percent)


def _without(drafted: Drafted, gone: set[str]) -> Drafted:
    return replace(drafted, after=tuple(key for key in drafted.after if key not in gone))


def _after_the_cook_went(run_day: RunDay, plan: Plan) -> list[str]:
    goes = run_day.cook_goes
    if not goes:
        return []
    late = [
        activity
        for activity in run_day.day.activities
        for need in activity.needs
        if need.resource == COOK and plan.starts[activity.id] + need.end > goes
    ]
    if not late:
        return []
    first = min(late, key=lambda each: plan.starts[each.id])
    said = f"The cook goes at {sentences.clock_of(goes, run_day.call):%H:%M}, and "
    said += (
        f"“{sentences.title_of(run_day.drafted[first.id])}” still needs them. Ask the cook to stay, or drop something."
    )
    return [said]


def _row(run_day: RunDay, drafted: Drafted, start: int, minutes: int, wait: int) -> RunRow:
    change = run_day.changes.get(drafted.key, Change())
    light = ""
    if change.window:
        since, until = (sentences.clock_of(each, run_day.call) for each in change.window)
        light = f"{since:%H:%M}–{until:%H:%M}"
    who = [NAMES[each] for each in (COOK, "stylist", CAMERA, "client", "oven", "burner") if any(block.resource == each for block in drafted.blocks)]  # fmt: skip
    return RunRow(
        key=drafted.key,
        kind=drafted.kind,
        at=sentences.clock_of(start, run_day.call),
        until=sentences.clock_of(start + minutes, run_day.call),
        title=drafted.title,
        dish=drafted.dish_name,
        who=", ".join(who),
        minutes=minutes,
        why="yours" if change.minutes is not None else drafted.why,
        is_pinned=change.pinned is not None,
        wait=wait,
        light=light,
    )


# Paper and calendar


def run_sheet_of(page: RunPage, *, at: datetime) -> RunSheet:
    """What the printed run says."""
    run_day, business = page.run_day, business_or_none(at)
    shoot = run_day.shoot
    return RunSheet(
        language="en",
        shoot=shoot.title,
        house=shoot.client.name,
        day=shoot.first_on,
        place=shoot.kitchen.name if shoot.kitchen else "",
        call=run_day.call,
        done=page.finish_words,
        done_by=page.done_by_words,
        lines=tuple(
            RunLine(row.at, row.until, row.title, row.dish, row.who, row.minutes, row.is_pinned, row.kind)
            for row in page.rows
        ),
        day_before=tuple((each.dish, each.text, each.minutes) for each in run_day.draft.day_before),
        warnings=page.warnings,
        timeline=page.timeline,
        photographer=business.name if business else "",
        made_at=at,
        identifier=f"run {shoot.pk} {run_day.digest} {at.isoformat()}",
        footer=tuple(part for part in (business.name, business.phone) if part) if business else (),
    )


def run_events(page: RunPage) -> list[Event]:
    """Each activity of a run as an event of a calendar; none while the shoot has no day."""
    run_day, drafted = page.run_day, page.run_day.drafted
    minutes = {activity.id: activity.minutes for activity in run_day.day.activities}
    place = run_day.shoot.kitchen
    found = []
    for row in page.rows:
        start = page.plan.starts[row.key]
        begins_at = moment_at(run_day.shoot, run_day.call, start)
        if begins_at is None:
            return []
        found.append(
            Event(
                uid=f"run-{run_day.shoot.pk}-{row.key.replace(':', '-')}@plate-ledger",
                begins_at=begins_at,
                ends_at=begins_at + timedelta(minutes=minutes[row.key]),
                summary=sentences.title_of(drafted[row.key]),
                description="\n".join(part for part in (row.title if row.kind == "step" else "", row.who) if part),
                location=_place(place) if place else "",
            )
        )
    return found


def _place(kitchen: Kitchen) -> str:
    """Name and address; a kitchen that is called by its street is not named twice."""
    named = "" if kitchen.name in kitchen.address else kitchen.name
    return ", ".join(part for part in (named, kitchen.address) if part)
