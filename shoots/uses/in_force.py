"""Which trees count just now: those of the books while a request or a job is answered, else those that ship with the program.

A reckoning is handed its trees. Where it is handed none it takes these, so that one answer is never reckoned with two versions.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from functools import cache

from shoots.uses.trees import Trees

_NOW: ContextVar[Callable[[], Trees] | None] = ContextVar("trees_in_force", default=None)


def trees_now() -> Trees | None:
    """The trees in force here and now; None: those that ship with the program."""
    find = _NOW.get()
    return find() if find else None


@contextmanager
def reckoned_as_found(find: Callable[[], Trees]) -> Iterator[None]:
    """Inside it every reckoning that is handed no trees takes those that ``find`` gives; it is asked once, when the first one is needed."""
    before = _NOW.set(cache(find))
    try:
        yield
    finally:
        _NOW.reset(before)


@contextmanager
def reckoned_with(trees: Trees) -> Iterator[Trees]:
    """Inside it every reckoning that is handed no trees takes these."""
    with reckoned_as_found(lambda: trees):
        yield trees


def given_name(code: str, language: str) -> str:
    """The name the studio itself gave a medium or place; empty where the program names it."""
    trees = trees_now()
    if trees is None:
        return ""
    return trees.media.given_name(code, language) or trees.territories.given_name(code, language)
