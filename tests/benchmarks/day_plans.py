"""Prints how far our day plans are from the optimum that OR-Tools CP-SAT proves, and how long they take. It judges nothing.

    .venv/bin/python -m tests.benchmarks.day_plans

Days of two to seven dishes from recipes of our own, some with heroes wanted in the light; and projects drawn by lot in the shape of the
published set j30 (30 activities, four resources). The published instances themselves are not kept here, so nothing is said about them.
The solver is no package of the project: install ortools into an environment of your own to see the gap.
"""

import argparse
import time
from collections.abc import Callable
from dataclasses import dataclass

from shoots.plan.lexicon import Lexicon
from shoots.plan.moments import draft_moments
from shoots.plan.recipe import read_recipe
from shoots.plan.shots import draft_day_shots, draft_shots
from shoots.plan.stages import stage_of
from shoots.run.activities import Change, DishOf, ShotOf, StepOf, Terms, day_of, draft_day, with_breaks
from shoots.run.chance import Chance
from shoots.run.day_plan import Activity, Day, Need, Resource
from shoots.run.scheduling import plan_day
from tests.benchmarks import oracle
from tests.shoots.run.days import two_dishes

OWN = {
    "Plum dumplings": "Plum dumplings\n\nIngredients\n- 500 g potatoes\n- 12 plums\n\nMethod\n1. Boil the potatoes for 25 minutes.\n2. Mash them and knead in the flour.\n3. Wrap each plum in dough.\n4. Simmer the dumplings for 12 minutes.\n5. Toast the crumbs in butter until golden.\n6. Roll the dumplings in the crumbs and dust with sugar.",
    "Charred leeks": "Charred leeks\n\nIngredients\n- 6 leeks\n\nMethod\n1. Trim the leeks.\n2. Grill them for 15 minutes until black.\n3. Peel off the burnt skin.\n4. Whisk oil, mustard and vinegar.\n5. Pour the dressing over the leeks and sprinkle with hazelnuts.",
    "Smoked trout broth": "Smoked trout broth\n\nIngredients\n- 1 trout\n\nMethod\n1. Cut the vegetables.\n2. Fry them for 8 minutes.\n3. Cover with water and simmer for 40 minutes.\n4. Strain the broth.\n5. Add the trout and rest for 5 minutes.\n6. Pour the broth into bowls.",
    "Honey cake": "Honey cake\n\nIngredients\n- 200 g honey\n\nMethod\n1. Melt the honey with the butter.\n2. Whisk the eggs for 6 minutes.\n3. Fold in the flour.\n4. Bake at 170 C for 35 minutes.\n5. Rest for 20 minutes.\n6. Dust with sugar and cut into pieces.",
}  # fmt: skip
DAYS_EACH = 6
UP_TO_FIVE = tuple(f"{count} dishes" for count in range(2, 6))
AIM = 0.5  # per cent of mean gap up to five dishes, at one second
LOT = 24


@dataclass(frozen=True)
class Result:
    gap: float
    is_equal: bool
    is_proved: bool
    seconds: float


def recipes() -> dict[str, str]:
    """Those of the demo and a few more, all written for it."""
    from studio.demo.recipes import RECIPES

    return {**RECIPES, **OWN}


def dish_of(key: int, name: str, text: str, lexicon: Lexicon) -> DishOf:
    """A recipe read as the plan reads it, its shots drafted as the shot list drafts them."""
    read = read_recipe(text)
    moments = draft_moments(read.steps, lexicon)
    shots = [
        (draft.step_number if draft.kind == "moment" else None, ShotOf(key * 100 + place, draft.title, stage_of(draft.kind, draft.action_id), kind=draft.kind))
        for place, draft in enumerate(draft_shots(moments))
    ]  # fmt: skip
    steps = tuple(
        StepOf(
            key * 100 + step.number,
            step.text,
            tuple(dict.fromkeys(each.action_id for each in moments if each.step_number == step.number)),
            step.minutes_to,
            tuple(shot for number, shot in shots if number == step.number),
        )
        for step in read.steps
    )
    return DishOf(key, name, steps, tuple(shot for number, shot in shots if number is None))


def day_of_dishes(count: int, seed: int, lexicon: Lexicon) -> Day:
    """A day of so many dishes drawn by lot; every second one has a hero or two in a window of two hours."""
    chance, left, dishes = Chance(seed * 100 + count), list(recipes().items()), []
    for key in range(1, count + 1):
        name, text = left.pop(chance.below(len(left)))
        dishes.append(dish_of(key, name, text, lexicon))
    terms = Terms(cooks=1 + chance.below(2))
    day_shots = [
        ShotOf(place, draft.title, kind=draft.kind)
        for place, draft in enumerate(draft_day_shots(cook="Maro Lantadze"), 9000)
    ]
    light = 120 + 30 * chance.below(5)
    lit = {
        f"hero:{key}": Change(window=(light, light + 120)) for key in range(1, 1 + (seed % 2) * (1 + chance.below(2)))
    }
    draft = with_breaks(draft_day(dishes, day_shots, terms), terms, lit)
    return day_of(draft, terms, lit)


def project(seed: int) -> Day:
    """Thirty activities of one to ten minutes on four resources, each after up to three earlier ones."""
    chance = Chance(seed)
    resources = {name: Resource(10 + chance.below(20)) for name in "abcd"}
    activities: list[Activity] = []
    for number in range(30):
        minutes = 1 + chance.below(10)
        needs = tuple(
            Need(name, 0, minutes, 1 + chance.below(10))
            for name in resources
            if chance.below(100) < (30, 60, 90)[seed % 3]
        )
        near = activities[max(0, number - 8) :]
        after = {near[chance.below(len(near))].id for _ in range(1 + chance.below(3))} if number > 2 else set()
        activities.append(Activity(f"{number}", minutes, needs, tuple(sorted(after, key=int))))
    return Day(resources, tuple(activities))


def measure(day: Day, *, seconds: float, proof: float) -> Result:
    began = time.process_time()
    plan = plan_day(day, seconds=seconds)
    took = time.process_time() - began
    best = oracle.optimum_of(day, seconds=proof) if oracle.is_there() else None
    if best is None:
        return Result(100 * (plan.finish - plan.bound) / max(1, plan.bound), plan.finish == plan.bound, False, took)
    least = min(best.cost, plan.cost)
    return Result(
        100 * (plan.cost - least) / least, plan.cost == least, best.is_proved or plan.cost == best.least, took
    )


def solver_on_the_hand_checked_days() -> str:
    """What the solver finds on the days reckoned by hand (facts of the planner, worked days), so that it can be trusted as a measure."""
    days = (
        (two_dishes(lead=6), 64),
        (two_dishes(), 70),
        (two_dishes(lead=6, first_set=True), 85),
        (two_dishes(lead=6, first_set=True, cook_closed=((60, 100),)), 114),
    )
    found = [(oracle.optimum_of(day), finish) for day, finish in days]
    agree = sum(best is not None and best.is_proved and best.cost == finish for best, finish in found)
    return f"The solver agrees with {agree} of {len(days)} days reckoned by hand."


def line(name: str, results: list[Result]) -> str:
    gaps = [result.gap for result in results]
    return (
        f"{name:<14} {len(results):>4} {sum(gaps) / len(gaps):>8.2f} {max(gaps):>8.2f} {sum(each.is_equal for each in results):>6} "
        f"{sum(each.is_proved for each in results):>7} {sum(each.seconds for each in results) / len(results):>8.2f}"
    )


def report(names: dict[str, list[Callable[[], Day]]], *, seconds: float, proof: float) -> None:
    against = "the best known" if oracle.is_there() else "the lower bound, for the solver is not installed"
    if oracle.is_there():
        print(solver_on_the_hand_checked_days())
    print(f"Gap to {against}, per cent; {seconds:g} s of search.")
    print(f"{'':<14} {'days':>4} {'mean':>8} {'most':>8} {'equal':>6} {'proved':>7} {'seconds':>8}")
    few: list[Result] = []
    for name, makers in names.items():
        results = [measure(make(), seconds=seconds, proof=proof) for make in makers]
        few += results if name in UP_TO_FIVE else []
        print(line(name, results), flush=True)
    if few:
        print(line("up to five", few), f"   aim: {AIM:.2f} at most")


def main() -> None:
    words = argparse.ArgumentParser(description=(__doc__ or "").partition("\n")[0])
    words.add_argument("--seconds", type=float, default=1, help="seconds of search for each day (%(default)s)")
    words.add_argument("--proof", type=float, default=10, help="seconds the solver gets for each (%(default)s)")
    words.add_argument("--days", type=int, default=DAYS_EACH, help="days of each number of dishes (%(default)s)")
    words.add_argument("--lot", type=int, default=LOT, help="projects drawn by lot (%(default)s)")
    chosen = words.parse_args()
    from shoots.plan.queries import kitchen_lexicon

    lexicon = kitchen_lexicon()
    days: dict[str, list[Callable[[], Day]]] = {
        f"{count} dishes": [
            lambda count=count, seed=seed: day_of_dishes(count, seed, lexicon)  # type: ignore[misc]
            for seed in range(chosen.days)
        ]
        for count in range(2, 8)
    }
    days["by lot"] = [lambda seed=seed: project(seed) for seed in range(chosen.lot)]  # type: ignore[misc]
    report(days, seconds=chosen.seconds, proof=chosen.proof)


if __name__ == "__main__":
    import os

    import django

    os.environ["DJANGO_SETTINGS_MODULE"] = "tests.settings"
    django.setup()
    main()
