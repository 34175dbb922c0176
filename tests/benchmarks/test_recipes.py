import subprocess
import sys
import tomllib

import pytest

from shoots.plan.queries import kitchen_lexicon
from shoots.plan.recipe import read_recipe
from tests.benchmarks.recipes import LABELS, SETS, Compared, Score, compare, line, score

SOUP = "Soup\n\nMethod\n1. Cut the leeks and boil them.\n2. Pour the soup into bowls."


def test_found_and_labelled_actions_are_counted_against_each_other():
    compared = [
        Compared("a 1", "", ("cut", "boil"), ("cut", "stir")),
        Compared("a 2", "", ("pour",), ("pour",)),
        Compared("a 3", "", ("rest",), ()),
    ]
    assert score(compared, frozenset(["cut", "boil", "stir", "pour", "rest"])) == Score(2 / 3, 2 / 4, 4)
    assert score(compared, frozenset(["cut", "pour"])) == Score(1, 1, 2)
    assert score(compared, frozenset(["rest"])) == Score(None, 0, 1)
    assert "precision none, recall 0.000 (1 labels)" in line("x", Score(None, 0, 1))


def test_each_labelled_step_stands_beside_what_is_read_in_it():
    compared = compare({"soup.txt": {"1": ["cut"], "2": ["plate"]}}, {"soup.txt": read_recipe(SOUP)}, kitchen_lexicon())
    assert [(each.where, each.labelled, each.found) for each in compared] == [
        ("soup.txt 1", ("cut",), ("cut", "boil")),
        ("soup.txt 2", ("plate",), ("pour",)),
    ]
    with pytest.raises(KeyError):
        compare({"soup.txt": {"3": []}}, {"soup.txt": read_recipe(SOUP)}, kitchen_lexicon())


def test_the_labels_are_actions_of_the_lexicon_and_no_step_is_in_both_sets():
    labels = tomllib.loads(LABELS.read_text())
    known = {action.id for action in kitchen_lexicon().actions}
    steps = [(file, number) for which in SETS for file, numbers in labels[which].items() for number in numbers]
    assert len(steps) == len(set(steps)) == 100
    assert {
        label for which in SETS for rows in labels[which].values() for row in rows.values() for label in row
    } <= known


def test_a_folder_without_recipes_is_said(tmp_path):
    ran = subprocess.run(
        [sys.executable, "-m", "tests.benchmarks.recipes", tmp_path], capture_output=True, text=True, check=False
    )
    assert (ran.returncode, ran.stdout) == (1, "")
    assert f"No recipes (*.txt) in {tmp_path}." in ran.stderr
