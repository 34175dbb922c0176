"""What is read for the run of the day: dishes, steps and shots as activities, hours and people, and the plan as it stands."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime, time, timedelta
from functools import lru_cache
from math import ceil
from types import MappingProxyType
from zoneinfo import ZoneInfo

from django.db.models import Max, Prefetch, QuerySet
from django.utils import timezone

from clients.models import Kitchen
from shared.business.queries import business_or_none
from shoots.brief.models import Dish, Part, Shoot, ShootPerson, ShootState
from shoots.light.queries import days_of, place_of, setting_of
from shoots.light.queries import plan_of as light_plan_of
from shoots.light.setting import DAYLIGHT, OVERCAST, Setting, hours_of
from shoots.light.sun import Place, SunDay, sun_day
from shoots.plan.lexicon import Lexicon, find_actions
from shoots.plan.models import Moment, Shot, ShotKind, Step
from shoots.plan.queries import kitchen_lexicon
from shoots.recipes.queries import studio_lexicon
from shoots.run import sentences
from shoots.run.activities import (
    ASSISTANT,
    CLIENT,
    COOK,
    KITCHEN,
    NAMES,
    OPERATOR,
    PROPS,
    STYLIST,
    Change,
    DayDraft,
    DishOf,
    Drafted,
    ShotOf,
    StepOf,
    Terms,
    add_breaks,
    count_breaks,
    day_of,
    done_by,
    draft_day,
    lit,
    minutes_by_sentence,
    with_breaks,
)
from shoots.run.clocks import FoodClock, food_clock
from shoots.run.day_plan import DAY, Caution, Day, Plan, waits
from shoots.run.icalendar import Event, calendar_of
from shoots.run.models import Run, RunActivity, WantedLight
from shoots.run.scheduling import first_plan, plan_of
from shoots.run.snapshot import RunLine, RunSheet
from shoots.run.timeline import Timeline, draw

CALL = time(9)  # where a shoot says no time


@dataclass(frozen=True)
class RunDay:
    """One day of a shoot ready to be planned. ``run`` is None while nothing was saved; ``number`` counts the shoot's ``days`` from 1.

    ``changes`` are as typed; ``windows`` the light each activity has to keep to, typed or of the set-up.
    """

    shoot: Shoot
    run: Run | None
    call: time
    terms: Terms
    draft: DayDraft
    changes: dict[str, Change]
    day: Day
    notes: tuple[str, ...] = ()
    number: int = 1
    days: int = 1
    inputs: str = ""
    effective: dict[str, Change] = field(default_factory=dict)
    lights: dict[str, str] = field(default_factory=dict)
    without_light: tuple[str, ...] = ()

    @property
    def on(self) -> date | None:
        """The calendar day; None while the shoot has none."""
        return self.shoot.first_on + timedelta(days=self.number - 1) if self.shoot.first_on else None

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

    @property
    def is_searched(self) -> bool:
        """Whether somebody looked for better than the first plan of this very day."""
        return self.is_saved and self.run is not None and self.run.searches > 0

    @property
    def dishes(self) -> list[tuple[int, str]]:
        """The dishes made on this day, in order."""
        return [(each.dish, each.dish_name) for each in self.draft.activities if each.kind == "hero" and each.dish]


@dataclass(frozen=True)
class Way:
    """A way out of a day too full: in words, the minutes it gives back, and the dish that would move (None: pictures dropped)."""

    words: str
    minutes: int
    dish: int | None = None


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
    ways: tuple[Way, ...] = ()

    @property
    def shots_to_time(self) -> int:
        """How many shots of the day carry another time than this plan, or none."""
        day = self.run_day.number
        stands = {shot.pk: (shot.planned_time, shot.planned_day) for shot in self.run_day.shoot.shots.all()}
        return sum(stands.get(key) != (at, day) for key, at in self.shot_times.items())

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
        if not self.rows:
            return "Nothing is made on this day yet. Move a dish here from the page of another day."
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
            Prefetch("dishes", queryset=Dish.objects.select_related("recipe", "made_on").order_by("order", "pk").prefetch_related(steps)),
            Prefetch("runs", queryset=Run.objects.order_by("day").prefetch_related("activities")),
            "kitchen__free_hours",
            "kitchen__windows",
            "kitchen__window_measures",
            "light_plans",
        )
    )  # fmt: skip


def run_day_of(shoot: Shoot, number: int = 1) -> RunDay:
    """One day of a shoot of ``shoot_for_run`` to be planned, with what was changed by hand. A day the shoot does not have is its last."""
    days = days_planned(shoot)
    number = min(max(number, 1), days)
    run = next((each for each in shoot.runs.all() if each.day == number), None)
    changes = {row.key: _change(row) for row in run.activities.all()} if run else {}
    call = shoot.from_time or CALL
    on = shoot.first_on + timedelta(days=number - 1) if shoot.first_on else None
    terms, notes = _terms(shoot, run or first_terms(shoot), call, on)
    dishes, others = _dishes(shoot, number), _day_shots(shoot, number)
    # A day of several on which nothing is made has no first set and no strike either.
    bare = draft_day(dishes, others, terms) if days == 1 or dishes or others else DayDraft(())
    usual, stretches = _light(shoot, call, on, changes)
    effective, without = lit(bare, changes, stretches, usual=usual)
    touched = sorted((key, change) for key, change in effective.items() if change != Change())
    inputs = _digest(call, bare, touched, terms)
    is_known = run is not None and run.inputs == inputs
    breaks = run.breaks if run is not None and is_known else count_breaks(bare, terms, effective)
    draft = add_breaks(bare, terms, breaks)
    lights = {
        each.key: changes.get(each.key, Change()).light or usual for each in bare.activities if each.kind == "hero"
    }
    return RunDay(
        shoot, run, call, terms, draft, changes, day_of(draft, terms, effective), notes, number, days, inputs, effective,
        lights, without,
    )  # fmt: skip


def days_planned(shoot: Shoot) -> int:
    """How many days a shoot is planned for: those it has, and one at least."""
    return max(1, len(days_of(shoot)))


def first_terms(shoot: Shoot) -> Run:
    """What a day nobody changed reckons with: what the first day does."""
    first = next(iter(shoot.runs.all()), None)
    return Run(**{name: getattr(first, name) for name in TERMS}) if first else Run()


TERMS = ("first_set", "strike", "break_minutes", "slack_percent", "ovens", "burners")


def _change(row: RunActivity) -> Change:
    has_window = row.light_from is not None and row.light_until is not None
    return Change(
        row.minutes, row.hold, row.pinned, (row.light_from, row.light_until) if has_window else None, row.light
    )  # type: ignore[arg-type]


def mark_of(change: Change) -> str:
    """What was changed about an activity as a short mark, so that a form opened before another change is noticed."""
    return _digest(change)[:16]


def _digest(*parts: object) -> str:
    return hashlib.sha256("|".join(map(repr, parts)).encode()).hexdigest()


def plan_as_it_stands(run_day: RunDay) -> Plan:
    """The saved plan; where there is none, or the day has changed since, a first one that is not saved."""
    starts = saved_starts(run_day)
    if run_day.is_saved and run_day.run is not None and len(starts) == len(run_day.day.activities):
        return plan_of(run_day.day, starts, run_day.run.bound)
    return first_plan(run_day.day, begin=starts or None)


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
    ways = _ways_known(run_day) if over else ()
    said = [sentences.say_too_full(over, {way.words: way.minutes for way in ways})] if over else []
    said += [
        sentences.say(each, day, drafted, plan.starts, call)
        for each in plan.cautions
        if not (each.kind == "overfull" and over) and not _is_for_leaving(each, run_day)
    ]
    said += [sentences.say_food(each) for each in food if each.limit]
    said += _after_they_went(run_day, plan)
    said += _in_the_dark(run_day)
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
        ways=ways,
    )


def moment_at(shoot: Shoot, call: time, minute: int, number: int = 1) -> datetime | None:
    """The moment of a minute of the shoot's day of that number, whose call is in the kitchen's time zone, or the business's while no kitchen is named; None while the shoot has no day."""
    if shoot.first_on is None:
        return None
    zone = ZoneInfo(shoot.kitchen.time_zone) if shoot.kitchen else timezone.get_current_timezone()
    # Counted on from the call in real minutes: where the clocks change in the night, the shoot is not an hour longer.
    on = shoot.first_on + timedelta(days=number - 1)
    return datetime.combine(on, call, zone).astimezone(UTC) + timedelta(minutes=minute)


# Below: how a shoot becomes a day


def day_of_dish(dish: Dish, days: int) -> int:
    """On which of so many days a dish is made."""
    row = getattr(dish, "made_on", None)
    return min(row.day, days) if row else 1


def _dishes(shoot: Shoot, number: int, *, musts_only: bool = False) -> list[DishOf]:
    shots, days, lexicon = _shots(shoot, musts_only=musts_only), days_planned(shoot), _lexicon_of(shoot)
    cards = _cards(shots)
    placed = {card for each in cards.values() for card in each}
    found = []
    for dish in shoot.dishes.all():
        if day_of_dish(dish, days) != number:
            continue
        recipe = getattr(dish, "recipe", None)
        steps = list(recipe.steps.all()) if recipe else []
        own = [shot for shot in shots if shot.dish_id == dish.pk and shot.pk not in placed]
        of_step = {step.pk: [shot for shot in own if shot.moment and shot.moment.step_id == step.pk] for step in steps}
        loose = [shot for shot in own if not shot.moment or shot.moment.step_id not in of_step]
        found.append(
            DishOf(
                dish.pk,
                dish.name,
                tuple(_step(step, [_shot(shot, cards) for shot in of_step[step.pk]], lexicon) for step in steps),
                tuple(_shot(shot, cards) for shot in loose),
            )
        )
    return found


def _lexicon_of(shoot: Shoot) -> Lexicon:
    """The studio's words, read once for all days of a shoot that was fetched."""
    if not hasattr(shoot, "kitchen_words"):
        shoot.kitchen_words = studio_lexicon()  # type: ignore[attr-defined]
    return shoot.kitchen_words  # type: ignore[attr-defined, no-any-return]


def _step(step: Step, shots: list[ShotOf], lexicon: Lexicon) -> StepOf:
    """``lexicon`` with the studio's own words; a kind of its own says nothing of minutes, ovens and burners."""
    named = [moment.action for moment in step.moments.all()] or [
        found.action_id for found in find_actions(step.text, lexicon)
    ]
    actions = [action for action in named if kitchen_lexicon().knows(action)]
    longest = step.minutes_to or step.minutes_from
    minutes = max(1, ceil(longest)) if longest else None
    # The recipe keeps the first time a step names; a person who changed the step has said how long all of it takes.
    parts = minutes_by_sentence(step.text) if step.version == 1 else ()
    return StepOf(step.pk, step.text, tuple(dict.fromkeys(actions)), minutes, tuple(shots), parts)


def _shot(shot: Shot, cards: Mapping[int, tuple[int, ...]] = MappingProxyType({})) -> ShotOf:
    return ShotOf(shot.pk, shot.title, shot.stage, shot.is_must, shot.kind, cards.get(shot.pk, ()))


def _cards(shots: list[Shot]) -> dict[int, tuple[int, ...]]:
    """The grey cards of the list, by the shot of a dish they stand before; those at its head are for the first set."""
    found, waiting, has_begun = dict[int, tuple[int, ...]](), list[Shot](), False
    for shot in shots:
        if shot.kind == ShotKind.GREY_CARD:
            waiting += [shot] if has_begun or shot.dish_id else []
        elif shot.dish_id:
            has_begun = True
            its = [card for card in waiting if card.dish_id in (None, shot.dish_id)]
            waiting = [card for card in waiting if card not in its]
            found[shot.pk] = tuple(card.pk for card in its)
    return found


def _day_shots(shoot: Shoot, number: int, *, musts_only: bool = False) -> list[ShotOf]:
    """What belongs to no dish: portraits on the last day, when the cook has done, the rest on the first."""
    shots = _shots(shoot, musts_only=musts_only)
    placed = {card for each in _cards(shots).values() for card in each}
    of_no_dish = [_shot(shot) for shot in shots if shot.dish_id is None and shot.pk not in placed]
    last = days_planned(shoot)
    return [shot for shot in of_no_dish if number == (last if shot.kind == ShotKind.PORTRAIT else 1)]


def _shots(shoot: Shoot, *, musts_only: bool) -> list[Shot]:
    return [shot for shot in shoot.shots.all() if shot.state != Shot.State.SKIPPED and (shot.is_must or not musts_only)]


def _terms(shoot: Shoot, run: Run, call: time, on: date | None) -> tuple[Terms, tuple[str, ...]]:
    parts: dict[str, list[ShootPerson]] = {}
    for row in shoot.people.all():
        parts.setdefault(row.part, []).append(row)
    cooks = parts.get(Part.COOK, [])
    at_the_stove = [*cooks, *parts.get(Part.KITCHEN_HAND, [])]
    hands = len(at_the_stove)
    closed: dict[str, tuple[tuple[int, int], ...]] = {}
    notes: list[str] = []
    goes: dict[str, int] = {}
    if len({(each.from_time, each.until_time) for each in at_the_stove}) > 1:
        notes.append(
            f"{hands} people cook at different hours; the plan reckons with all of them from when the first comes until the last goes."
        )
    there = {COOK: at_the_stove, **{resource: parts.get(part, []) for part, resource in ROLES.items()}}
    for resource, rows in there.items():
        comes, leaves = _hours_there(rows, call)
        closed |= {resource: ((0, comes),)} if comes else {}
        goes |= {resource: leaves} if leaves else {}
    shut, last_out = _kitchen_hours(shoot, call, on, notes)
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
        also=tuple(resource for part, resource in ROLES.items() if part in parts and resource in (PROPS, ASSISTANT, OPERATOR)),
        closed=closed, ends_at=min(ends, default=None), goes=goes,
    )  # fmt: skip
    return terms, tuple(notes)


ROLES: dict[str, str] = {
    Part.FOOD_STYLIST: STYLIST, Part.PROP_STYLIST: PROPS, Part.ASSISTANT: ASSISTANT, Part.DIGITAL_OPERATOR: OPERATOR, Part.DECIDES: CLIENT,
}  # fmt: skip


def _minutes(at: time | None, call: time) -> int:
    """Minutes after the call, none where the time is before it or not said."""
    return max(0, (at.hour - call.hour) * 60 + at.minute - call.minute) if at else 0


def _hours_there(rows: list[ShootPerson], call: time) -> tuple[int, int]:
    """When the first of a part comes and when the last goes, in minutes from the call; 0 where nobody says so."""
    comes = min((_minutes(row.from_time, call) for row in rows), default=0)
    goes = [_minutes(row.until_time, call) for row in rows]
    return comes, max(goes, default=0) if all(goes) else 0


def _kitchen_hours(
    shoot: Shoot, call: time, day: date | None, notes: list[str]
) -> tuple[tuple[tuple[int, int], ...], int]:
    """When the kitchen is closed between its free hours, and when the last of them ends."""
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


def _ways_known(run_day: RunDay) -> tuple[Way, ...]:
    """The ways out, as they were kept with the plan; reckoned where the day has changed since."""
    if run_day.is_saved and run_day.run is not None and run_day.run.inputs == run_day.inputs and run_day.run.ways:
        return tuple(Way(*each) for each in run_day.run.ways)
    return ways_out(run_day)


def ways_out(run_day: RunDay) -> tuple[Way, ...]:
    """What could be left out of a day that is too full, and the minutes each way gives back with its slack: pictures first, then the most."""
    whole = _length(run_day, run_day.draft.activities)
    shoot, number = run_day.shoot, run_day.number
    found = []
    for hero in run_day.draft.activities:
        if hero.kind == "hero":
            gone = {each.key for each in run_day.draft.activities if each.dish == hero.dish}
            left = tuple(_without(each, gone) for each in run_day.draft.activities if each.key not in gone)
            where = "a second day" if run_day.days == 1 else f"day {next_day(run_day)}"
            found.append(Way(f"Moving {hero.dish_name} to {where}", whole - _length(run_day, left), hero.dish))
    found.sort(key=lambda way: -way.minutes)
    if nice := nice_to_drop(run_day):
        musts = draft_day(
            _dishes(shoot, number, musts_only=True), _day_shots(shoot, number, musts_only=True), run_day.terms
        )
        drop = f"Dropping {len(nice)} picture{'' if len(nice) == 1 else 's'} that would only be nice to have"
        shorter = with_breaks(musts, run_day.terms, run_day.effective).activities
        found.insert(0, Way(drop, whole - _length(run_day, shorter)))
    return tuple(way for way in found if way.minutes > 0)


def next_day(run_day: RunDay) -> int:
    """The day after, or the first where there is none after."""
    return run_day.number % run_day.days + 1


def nice_to_drop(run_day: RunDay) -> list[int]:
    """The keys of the day's shots that are only nice to have and still open."""
    today = {shot for each in run_day.draft.activities for shot, _ in each.shots}
    return [
        shot.pk
        for shot in run_day.shoot.shots.all()
        if not shot.is_must and shot.state == Shot.State.PLANNED and shot.pk in today
    ]


def _length(run_day: RunDay, activities: tuple[Drafted, ...]) -> int:
    """How long a day with these activities is in its first plan, slack included."""
    day = day_of(DayDraft(activities), run_day.terms, run_day.effective)
    return done_by(first_plan(day).finish, run_day.terms.slack_percent)


def _without(drafted: Drafted, gone: set[str]) -> Drafted:
    return replace(drafted, after=tuple(key for key in drafted.after if key not in gone))


def _after_they_went(run_day: RunDay, plan: Plan) -> list[str]:
    """Who is needed after they went, each with the first thing that needs them."""
    said = []
    for resource, goes in run_day.terms.goes.items():
        late = [
            activity
            for activity in run_day.day.activities
            for need in activity.needs
            if need.resource == resource and plan.starts[activity.id] + need.end > goes
            and run_day.drafted[activity.id].kind != "break"
        ]  # fmt: skip
        if late:
            first, who = min(late, key=lambda each: plan.starts[each.id]), NAMES[resource].lower()
            said.append(
                f"The {who} goes at {sentences.clock_of(goes, run_day.call):%H:%M}, and "
                f"“{sentences.title_of(run_day.drafted[first.id])}” still needs them. Ask the {who} to stay, or drop something."
            )
    return said


LIGHT_WORDS = {WantedLight.SOFT.value: "soft light", WantedLight.HARD.value: "sun on the table"}


def _is_for_leaving(caution: Caution, run_day: RunDay) -> bool:
    """Whether a window was only set because somebody leaves; that is said with their name."""
    key = caution.activity
    typed = run_day.effective.get(key, Change()).window or run_day.drafted[key].window
    return caution.kind == "outside_daylight" and typed is None


def _in_the_dark(run_day: RunDay) -> list[str]:
    """What wants a light that the window does not have that day."""
    return [
        f"“{sentences.title_of(run_day.drafted[key])}” wants {LIGHT_WORDS[run_day.lights.get(key) or run_day.changes[key].light]}, "
        "and the window has none while you are there. Choose a lamp, another light or another day."
        for key in run_day.without_light
    ]


def _light(
    shoot: Shoot, call: time, on: date | None, changes: dict[str, Change]
) -> tuple[str, dict[str, tuple[tuple[int, int], ...]]]:
    """The light heroes have where nobody says otherwise, and the stretches of soft and hard light in minutes from the call."""
    place = place_of(shoot.kitchen)
    here = [each for each in shoot.light_plans.all() if each.kitchen_id == shoot.kitchen_id]
    is_set_up = any(each.kind in (DAYLIGHT, OVERCAST) for each in here)
    is_asked = any(change.light in ("soft", "hard") for change in changes.values())
    if not (is_set_up or is_asked) or place is None or on is None:
        return "", {}
    plan = light_plan_of(shoot)
    soft, hard = _stretches(_sun(place, on), setting_of(shoot, plan, None))
    called_at = datetime.combine(on, call, place.zone).astimezone(UTC)

    def minutes(spans: tuple[tuple[datetime, datetime], ...]) -> tuple[tuple[int, int], ...]:
        both = [tuple(int((at - called_at).total_seconds() // 60) for at in span) for span in spans]
        return tuple((max(0, since), until) for since, until in both if until > 0)

    return ("soft" if is_set_up else ""), {"soft": minutes(soft), "hard": minutes(hard)}


@lru_cache(maxsize=64)
def _sun(place: Place, on: date) -> SunDay:
    return sun_day(place, on)


Moments = tuple[tuple[datetime, datetime], ...]


@lru_cache(maxsize=64)
def _stretches(sun: SunDay, setting: Setting) -> tuple[Moments, Moments]:
    """Soft and hard stretches of a day at the window of a set-up; none of either without a window."""
    hours = hours_of(replace(setting, sun=sun))
    if hours is None:
        return (), ()
    soft, hard = (tuple((each.from_at, each.until_at) for each in spans) for spans in (hours.soft, hours.hard))
    return soft, hard


def _row(run_day: RunDay, drafted: Drafted, start: int, minutes: int, wait: int) -> RunRow:
    change = run_day.effective.get(drafted.key, Change())
    light = ""
    if change.window:
        since, until = (sentences.clock_of(each, run_day.call) for each in change.window)
        wanted = (
            "" if run_day.changes.get(drafted.key, Change()).window else run_day.lights.get(drafted.key, change.light)
        )
        light = f"{LIGHT_WORDS.get(wanted, 'light')} {since:%H:%M}–{until:%H:%M}"
    elif change.light == WantedLight.LAMP:
        light = "lamp"
    who = [name for each, name in NAMES.items() if each != KITCHEN and any(block.resource == each for block in drafted.blocks)]  # fmt: skip
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
        day=run_day.on,
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
        begins_at = moment_at(run_day.shoot, run_day.call, start, run_day.number)
        if begins_at is None:
            return []
        found.append(
            Event(
                uid=f"run-{run_day.shoot.pk}-{f'{run_day.number}-' if run_day.number > 1 else ''}{row.key.replace(':', '-')}@plate-ledger",
                begins_at=begins_at,
                ends_at=begins_at + timedelta(minutes=minutes[row.key]),
                summary=sentences.title_of(drafted[row.key]),
                description="\n".join(part for part in (row.title if row.kind == "step" else "", row.who) if part),
                location=_place(place) if place else "",
                status=STATUS.get(run_day.shoot.state, "CONFIRMED"),
            )
        )
    return found


STATUS: dict[str, str] = {
    ShootState.CANCELLED: "CANCELLED", ShootState.ENQUIRY: "TENTATIVE", ShootState.PENCILLED: "TENTATIVE", ShootState.POSTPONED: "TENTATIVE",
}  # fmt: skip


def calendar_of_shoot(shoot: Shoot, *, at: datetime) -> str:
    """All days of a shoot of ``shoot_for_run`` as an iCalendar stream. ``SEQUENCE`` is in seconds from the making of the shoot: it grows."""
    pages = [page_of_day(shoot, number) for number in range(1, days_planned(shoot) + 1)]
    revised = _revised_at(shoot, pages, at)
    return calendar_of(
        [event for page in pages for event in run_events(page)],
        name=shoot.title,
        made_at=revised,
        revision=max(0, int((revised - shoot.made_at).total_seconds())),
        todo_uid=f"run-{shoot.pk}@plate-ledger",
    )


def _revised_at(shoot: Shoot, pages: list[RunPage], at: datetime) -> datetime:
    """When the calendar last changed: with a plan, the shoot or its state; now, where a day's plan is not kept."""
    if not all(page.run_day.is_saved for page in pages if page.rows):
        return at
    moved = shoot.moves.aggregate(last=Max("at"))["last"]
    planned = [run.planned_at for run in shoot.runs.all()]  # of days the shoot has no more as well
    return min(at, max(each for each in (*planned, moved, shoot.changed_at) if each))


def page_of_day(shoot: Shoot, number: int) -> RunPage:
    """One day of a shoot of ``shoot_for_run`` as it stands."""
    run_day = run_day_of(shoot, number)
    return run_page_of(run_day, plan_as_it_stands(run_day))


def _place(kitchen: Kitchen) -> str:
    """Name and address; a kitchen that is called by its street is not named twice."""
    named = "" if kitchen.name in kitchen.address else kitchen.name
    return ", ".join(part for part in (named, kitchen.address) if part)
