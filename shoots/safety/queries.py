"""What is read for the safety of a shoot: allergens, hazards, minutes of the food, and the lists with their ticks."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from django.db.models import Max, Prefetch, QuerySet

from clients.calls import read_calls
from shared.business.queries import business_or_none
from shoots.brief.models import Dish, Shoot
from shoots.plan.models import Shot
from shoots.plan.queries import allergen_words, hazard_pieces, sheet_words
from shoots.run.queries import days_planned, food_spans, plan_as_it_stands, run_day_of, shoot_for_run
from shoots.run.sentences import clock_of
from shoots.safety.allergen_table import DishTable, dish_table
from shoots.safety.food_minutes import FoodNow, FoodPlan, food_now
from shoots.safety.lists import FRAME_LINES, NEW_LIGHT, Line, line_of, rig_lines
from shoots.safety.models import FoodOut, SafetyTick
from shoots.safety.snapshot import SafetyDish, SafetySheet


def shoot_for_safety(pk: int) -> QuerySet[Shoot]:
    """A shoot with everything its safety page speaks of, in a constant number of queries."""
    ticks = Prefetch("safety_ticks", queryset=SafetyTick.objects.filter(taken_back_at=None))
    return shoot_for_run(pk).select_related("kitchen").prefetch_related(ticks, "dishes__moments")


@dataclass(frozen=True)
class DishFood:
    """A dish with its table of allergens and its minutes, as planned and as they are."""

    dish: Dish
    table: DishTable
    plan: FoodPlan | None
    now: FoodNow | None
    out: FoodOut | None


@dataclass(frozen=True)
class Ticked:
    """A line of a list and the tick that stands, if any."""

    line: Line
    tick: SafetyTick | None


def tables_of(shoot: Shoot) -> dict[int, DishTable]:
    """The allergens of each dish of a shoot of ``shoot_for_safety``, by the key of the dish."""
    words = allergen_words()
    found = {}
    for dish in shoot.dishes.all():
        recipe = getattr(dish, "recipe", None)
        found[dish.pk] = dish_table(
            dish.name,
            ingredients=[line["text"] for line in recipe.ingredients] if recipe else [],
            steps=[step.text for step in recipe.steps.all()] if recipe else [],
            told=dish.allergens,
            told_by=dish.allergens_told_by,
            words=words,
        )
    return found


def dishes_of(shoot: Shoot, *, now: datetime) -> list[DishFood]:
    """Each dish of a shoot of ``shoot_for_safety`` with its allergens and the minutes of its food."""
    tables, planned, standing = tables_of(shoot), food_planned(shoot), _food_standing(shoot, now)
    return [
        DishFood(dish, tables[dish.pk], planned.get(dish.pk), *standing.get(dish.pk, (None, None)))
        for dish in shoot.dishes.all()
    ]


def food_planned(shoot: Shoot) -> dict[int, FoodPlan]:
    """The minutes of each dish from fridge or heat to its last picture, out of the run as it stands."""
    if not any(getattr(dish, "recipe", None) for dish in shoot.dishes.all()):
        return {}
    found, days = {}, days_planned(shoot)
    for number in range(1, days + 1):
        run_day = run_day_of(shoot, number)
        for hero, leaves, done in food_spans(run_day, plan_as_it_stands(run_day)):
            if hero.dish is not None:
                minutes = max(0, done - leaves)
                found[hero.dish] = FoodPlan(
                    clock_of(leaves, run_day.call), clock_of(done, run_day.call), minutes, number if days > 1 else 0
                )
    return found


def _food_standing(shoot: Shoot, now: datetime) -> dict[int, tuple[FoodNow, FoodOut]]:
    latest = {
        row.dish_id: row for row in FoodOut.objects.filter(dish__shoot=shoot)
    }  # in order: the latest of each stands
    if not latest:
        return {}
    done = Shot.objects.filter(shoot=shoot, takes__outcome="done", takes__undone_by=None)
    last = dict(done.values_list("dish").annotate(last=Max("takes__at")))
    is_open = {shot.dish_id for shot in shoot.shots.all() if shot.state in (Shot.State.PLANNED, Shot.State.REPEAT)}
    return {
        pk: (food_now(row.at, last_picture=last.get(pk), is_all_taken=pk not in is_open, now=now), row)
        for pk, row in latest.items()
    }


def hazards_of_day(shoot: Shoot) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """What is hot, sharp or slippery on the day, with the dishes it belongs to: from moments and shots, each thing once."""
    names = {dish.pk: dish.name for dish in shoot.dishes.all()}
    found: dict[str, dict[str, None]] = {}
    for dish in shoot.dishes.all():
        for moment in dish.moments.all():
            for hazard in moment.hazards:
                found.setdefault(hazard, {})[dish.name] = None
    for shot in shoot.shots.all():
        for hazard in hazard_pieces(shot.hazard) if shot.state != Shot.State.SKIPPED else []:
            found.setdefault(hazard, {}).update({names[shot.dish_id]: None} if shot.dish_id in names else {})
    return tuple((hazard, tuple(dishes)) for hazard, dishes in found.items())


def room_of(shoot: Shoot) -> tuple[str, ...]:
    """What the kitchen itself says is hot, sharp or slippery."""
    return tuple(read_calls(shoot.kitchen.hazards)) if shoot.kitchen else ()


def calls_of(shoot: Shoot) -> tuple[str, ...]:
    """What is called in the kitchen of a shoot, in its own words."""
    return read_calls(shoot.kitchen.calls) if shoot.kitchen else ()


def light_now(shoot: Shoot) -> int:
    """Which light of the day the set stands in; 1 is the first."""
    return max((tick.light for tick in shoot.safety_ticks.all()), default=1) or 1


def rig_of(shoot: Shoot) -> list[Ticked]:
    """The lines of rig and room that the day calls for, with who ticked them. A line that was ticked stays on the list."""
    ticks = {tick.item: tick for tick in shoot.safety_ticks.all() if tick.light == 0}
    lines = list(rig_lines(_texts(shoot)))
    lines += [line for key in ticks if (line := line_of(key)) and line not in lines]
    return [Ticked(line, ticks.get(line.key)) for line in lines]


def frame_of(shoot: Shoot) -> list[Ticked]:
    """The lines before the first frame of the present light."""
    light = light_now(shoot)
    ticks = {tick.item: tick for tick in shoot.safety_ticks.all() if tick.light == light}
    return [Ticked(line, ticks.get(line.key)) for line in FRAME_LINES]


def lights_of(shoot: Shoot) -> list[tuple[int, int]]:
    """Each earlier light of the day with how many of its lines were ticked."""
    ticks = [tick for tick in shoot.safety_ticks.all() if tick.light and tick.item != NEW_LIGHT]
    return [(light, sum(tick.light == light for tick in ticks)) for light in range(1, light_now(shoot))]


def _texts(shoot: Shoot) -> Iterable[str]:
    yield from (hazard for hazard, _ in hazards_of_day(shoot))
    yield from room_of(shoot)
    for dish in shoot.dishes.all():
        recipe = getattr(dish, "recipe", None)
        if recipe:
            yield from (line["text"] for line in recipe.ingredients)
            yield from (step.text for step in recipe.steps.all())


def open_in(lines: Iterable[Ticked]) -> list[Line]:
    """The lines nobody ticked yet."""
    return [each.line for each in lines if each.tick is None]


def safety_sheet_of(shoot: Shoot, *, language: str, at: datetime) -> SafetySheet:
    """What the page for the kitchen says now."""
    business = business_or_none(at)
    return SafetySheet(
        language=language,
        shoot=shoot.title,
        house=shoot.client.name,
        day=shoot.first_on,
        last_day=shoot.last_on,
        from_time=shoot.from_time,
        until_time=shoot.until_time,
        place=shoot.kitchen.name if shoot.kitchen else "",
        dishes=tuple(_sheet_dish(each) for each in dishes_of(shoot, now=at)),
        room=room_of(shoot),
        hazards=hazards_of_day(shoot),
        calls=calls_of(shoot),
        words=sheet_words(),
        photographer=business.name if business else "",
        phone=business.phone if business else "",
        made_at=at,
        identifier=f"safety page {shoot.pk} {language} {at.isoformat()}",
        footer=tuple(part for part in (business.name, business.phone) if part) if business else (),
    )


def _sheet_dish(each: DishFood) -> SafetyDish:
    table, plan = each.table, each.plan
    return SafetyDish(
        name=table.dish,
        contains=table.contains,
        ask=table.ask,
        told=table.told,
        told_by=table.told_by,
        untold=tuple(key for key in (*table.contains, *table.us_only) if key not in table.told),
        minutes=plan.minutes if plan else None,
        limit=plan.limit if plan else 0,
        us_only=table.us_only,
    )
