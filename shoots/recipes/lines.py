"""Steps written by hand, a line each: which of the old steps a new line carries on, and in which step some words stand."""

from __future__ import annotations

import re
from collections.abc import Sequence
from difflib import SequenceMatcher

from shoots.plan.ingredients import without_bullet

_SENTENCE = re.compile(r"(?<=\w\w[.!?…])\s+(?=[^\W\d_])(?![a-zäöüß])")  # not behind `z. B.`, not before a small letter
LEAST_LIKE = 0.6  # of two texts, so that the one counts as the other changed


def step_lines(text: str) -> list[str]:
    """The steps of a text, a line each: without list numbers, bullets and empty lines."""
    lines = [" ".join(without_bullet(line).split()) for line in text.splitlines()]
    return [line for line in lines if line]


def sentence_lines(text: str) -> list[str]:
    """A text with each sentence on a line of its own: the start for whoever parts it into steps by hand."""
    return [line for line in _SENTENCE.split(" ".join(text.split())) if line]


def carried_on(old: Sequence[str], new: Sequence[str]) -> list[int | None]:
    """For each new line the place of the old one it carries on: the same words, one within the other, or much alike; None when it is new."""
    plain_old, plain_new = [_plain(text) for text in old], [_plain(text) for text in new]
    found: list[int | None] = [None] * len(new)
    free = set(range(len(old)))
    for is_like in (_same, _within, _alike):
        for place, words in enumerate(plain_new):
            if found[place] is None:
                match = next((each for each in sorted(free) if is_like(plain_old[each], words)), None)
                if match is not None:
                    found[place] = match
                    free.discard(match)
    return found


def place_of_words(words: str, texts: Sequence[str]) -> int | None:
    """The place of the first text in which these words stand, or None."""
    plain = _plain(words)
    return next((place for place, text in enumerate(texts) if plain and plain in _plain(text)), None)


def _plain(text: str) -> str:
    return " ".join(text.lower().replace("…", " ").split()).strip(" .")


def _same(old: str, new: str) -> bool:
    return old == new


def _within(old: str, new: str) -> bool:
    return bool(old and new) and (old in new or new in old)


def _alike(old: str, new: str) -> bool:
    matcher = SequenceMatcher(None, old[:400], new[:400], autojunk=False)
    return matcher.quick_ratio() >= LEAST_LIKE and matcher.ratio() >= LEAST_LIKE
