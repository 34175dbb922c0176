"""Prints how well steps are read, against what a person read in them, and how many steps a second. It judges nothing.

    .venv/bin/python -m tests.benchmarks.recipes [FOLDER]

The recipes are not kept here: FOLDER holds them as .txt files (without it `../shared/recipes` beside the project). The labels are in
`step_labels.toml`, with the rules they were made by. `--wrong first` also prints where the reader and the person differ.
"""

from __future__ import annotations

import argparse
import time
import tomllib
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from shoots.plan.lexicon import Lexicon, find_actions, read_lexicon
from shoots.plan.moments import draft_moments
from shoots.plan.recipe import Recipe, read_recipe

LABELS = Path(__file__).with_name("step_labels.toml")
PLAN = Path(__file__).parents[2] / "shoots" / "plan"
SHARED = Path(__file__).parents[3] / "shared" / "recipes"
INTERESTING = 3
SETS = {"first": "the first set", "held_out": "held out"}


@dataclass(frozen=True)
class Compared:
    """One step: its text, what a person labelled, what was found."""

    where: str
    text: str
    labelled: tuple[str, ...]
    found: tuple[str, ...]


@dataclass(frozen=True)
class Score:
    """Of the actions found, the share that is right; of those labelled, the share that was found. None where there are none."""

    precision: float | None
    recall: float | None
    labels: int


def score(compared: Iterable[Compared], counted: frozenset[str]) -> Score:
    """Precision and recall over all steps, of the actions in `counted` only."""
    right = found = labels = 0
    for each in compared:
        wanted, had = counted & set(each.labelled), counted & set(each.found)
        right, found, labels = right + len(wanted & had), found + len(had), labels + len(wanted)
    return Score(right / found if found else None, right / labels if labels else None, labels)


def compare(
    labels: Mapping[str, Mapping[str, Sequence[str]]], recipes: Mapping[str, Recipe], lexicon: Lexicon
) -> list[Compared]:
    """Each labelled step beside what the reader finds in it. Raises KeyError when a labelled recipe or step is not there."""
    compared = []
    for file, numbers in labels.items():
        steps = {step.number: step for step in recipes[file].steps}
        for number, labelled in numbers.items():
            step = steps[int(number)]
            found = tuple(each.action_id for each in find_actions(step.text, lexicon))
            compared.append(Compared(f"{file} {number}", step.text, tuple(labelled), found))
    return compared


def best_seconds(work: Callable[[], object], rounds: int) -> float:
    """The least processor time of several runs: what else the machine does can only make it longer."""
    seconds = []
    for _ in range(rounds):
        start = time.process_time()
        work()
        seconds.append(time.process_time() - start)
    return min(seconds)


def line(name: str, result: Score) -> str:
    """One row of the report."""
    said = ["none" if value is None else f"{value:.3f}" for value in (result.precision, result.recall)]
    return f"{name:44} precision {said[0]}, recall {said[1]} ({result.labels} labels)"


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("folder", type=Path, nargs="?", default=SHARED, help="where the recipes are, as .txt files")
    parser.add_argument("--rounds", type=int, default=7, help="how often the speed is measured; the best counts")
    parser.add_argument("--wrong", choices=SETS, help="print the steps of a set in which reader and person differ")
    asked = parser.parse_args()
    files = sorted(asked.folder.glob("*.txt")) if asked.folder.is_dir() else []
    if not files:
        raise SystemExit(f"No recipes (*.txt) in {asked.folder}. Name the folder that holds the labelled ones.")
    lexicon = read_lexicon(tomllib.loads((PLAN / "actions.toml").read_text(encoding="utf-8")))
    texts = {file.name: file.read_text(encoding="utf-8") for file in files}
    recipes = {name: read_recipe(text) for name, text in texts.items()}
    labels = tomllib.loads(LABELS.read_text(encoding="utf-8"))
    if missing := {file for which in SETS for file in labels[which]} - set(recipes):
        raise SystemExit(f"Labelled, but not in {asked.folder}: {', '.join(sorted(missing))}.")
    every = frozenset(action.id for action in lexicon.actions)
    interesting = frozenset(action.id for action in lexicon.actions if action.interest >= INTERESTING)
    for which, name in SETS.items():
        compared = compare(labels[which], recipes, lexicon)
        exact = sum(each.labelled == each.found for each in compared)
        print(f"{len(compared)} steps, {name}: {exact} read exactly as labelled, in the same order")
        print(line("  all actions", score(compared, every)))
        print(line(f"  of interest {INTERESTING} or more", score(compared, interesting)))
        for each in compared if which == asked.wrong else ():
            if each.labelled != each.found:
                print(f"    {each.where}: {each.text}\n      labelled {each.labelled}\n      found    {each.found}")
    steps = [step.text for recipe in recipes.values() for step in recipe.steps]
    finding = best_seconds(lambda: [find_actions(text, lexicon) for text in steps], asked.rounds)
    whole = best_seconds(
        lambda: [draft_moments(read_recipe(text).steps, lexicon) for text in texts.values()], asked.rounds
    )
    print(
        f"{len(steps)} steps: {len(steps) / finding:,.0f} a second for their actions, {len(steps) / whole:,.0f} for the whole recipe"
    )


if __name__ == "__main__":
    main()
