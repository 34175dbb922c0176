"""Which shot serves a picture that was promised: a guess by their words, for the photographer to change."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

_SMALL_WORDS = frozenset(
    [
        "a",
        "an",
        "and",
        "at",
        "from",
        "in",
        "into",
        "of",
        "on",
        "one",
        "or",
        "the",
        "to",
        "with",
        "first",
        "hero",
        "picture",
        "shot",
        "three",
    ]
)
_SAME = {
    "overhead": "above",
    "top": "above",
    "plating": "plate",
    "plated": "plate",
    "close": "tight",
    "detail": "tight",
}


@dataclass(frozen=True, slots=True)
class Titled:
    """A picture or a shot: its key, its words, and the key and words of its dish (None, empty: of no dish)."""

    key: int
    title: str
    dish: int | None = None
    dish_name: str = ""


def match_pictures(pictures: Iterable[Titled], shots: Sequence[Titled]) -> dict[int, int]:
    """For each promised picture the shot of the same dish whose title shares most words with it, the dish's own name left out.

    A shot serves one picture; a picture that shares no word with any free shot is not in the answer.
    """
    found: dict[int, int] = {}
    for picture in pictures:
        wanted = _words(picture)
        candidates = [shot for shot in shots if shot.dish == picture.dish and shot.key not in found.values()]
        best = max(candidates, key=lambda shot: len(wanted & _words(shot)), default=None)
        if best is not None and wanted & _words(best):
            found[picture.key] = best.key
    return found


def _words(titled: Titled) -> frozenset[str]:
    return _split(titled.title) - _split(titled.dish_name)


def _split(text: str) -> frozenset[str]:
    words = re.findall(r"[^\W\d_]+", text.lower())
    return frozenset(_SAME.get(word, word) for word in words if word not in _SMALL_WORDS)
