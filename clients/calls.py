"""The calls of a kitchen: what is said aloud there when something hot or sharp comes by, in the kitchen's own words."""

from __future__ import annotations

from collections.abc import Iterable

MOST_CALLS = 12

# Plain words to start from (common practice, no source). What is called in a kitchen is that kitchen's to say.
USUAL_CALLS = (
    "“Behind”: somebody passes behind you",
    "“Hot behind”: somebody passes with something hot",
    "“Sharp”: a blade comes by",
    "“Corner”: somebody comes round it",
    "“Oven open”: step back from the door",
)


def read_calls(text: str) -> tuple[str, ...]:
    """The calls in a text with one a line, each once, in order; empty lines are dropped."""
    return tuple(dict.fromkeys(line.strip() for line in text.splitlines() if line.strip()))


def with_usual(text: str, chosen: Iterable[str]) -> tuple[str, ...]:
    """The typed calls and, after them, those chosen from the usual ones that are not there yet."""
    return tuple(dict.fromkeys((*read_calls(text), *chosen)))
