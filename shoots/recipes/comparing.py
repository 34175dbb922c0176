"""What a second text would change in a recipe: the words before and after, part by part."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

MOST_SHOWN = 8


@dataclass(frozen=True, slots=True)
class RecipeWords:
    """A recipe as its words, as it stands or as it was read anew."""

    title: str = ""
    yields: str = ""
    ingredients: tuple[str, ...] = ()
    steps: tuple[str, ...] = ()
    moments: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Change:
    """One part that differs: lines that go and lines that come, the first of each, and how many more there are."""

    part: str
    before: tuple[str, ...]
    after: tuple[str, ...]
    more_before: int = 0
    more_after: int = 0
    is_order: bool = False


def changes_between(before: RecipeWords, after: RecipeWords) -> tuple[Change, ...]:
    """The parts in which two recipes differ. Lines of a list that stand in both are left out; the same lines in another order are said as such."""
    found: list[Change | None] = [
        _of_words("Title", before.title, after.title),
        _of_words("Yield", before.yields, after.yields),
        _of_list("Ingredients", before.ingredients, after.ingredients),
        _of_list("Steps", before.steps, after.steps),
        _of_list("Moments", before.moments, after.moments),
    ]
    return tuple(change for change in found if change)


def _of_words(part: str, before: str, after: str) -> Change | None:
    if before == after:
        return None
    return Change(part, (before,) if before else (), (after,) if after else ())


def _of_list(part: str, before: Sequence[str], after: Sequence[str]) -> Change | None:
    if list(before) == list(after):
        return None
    goes, comes = _only_in(before, after), _only_in(after, before)
    if not goes and not comes:
        return Change(part, (), (), is_order=True)
    return Change(
        part,
        tuple(goes[:MOST_SHOWN]),
        tuple(comes[:MOST_SHOWN]),
        max(len(goes) - MOST_SHOWN, 0),
        max(len(comes) - MOST_SHOWN, 0),
    )


def _only_in(these: Sequence[str], others: Sequence[str]) -> list[str]:
    left, only = Counter(others), []
    for line in these:
        if left[line]:
            left[line] -= 1
        else:
            only.append(line)
    return only
