"""How a drafted shot is called: the words of the recipe as a person would say them, whole, and no two of a dish alike."""

from __future__ import annotations

import re
from collections.abc import Iterable

from shared.words.formats import with_capital

LONGEST = 72
_OPENERS = frozenset({"and", "then", "now", "next", "also", "or", "but", "finally"})
# A clause that was cut short ends before the last of these; none of them may end a title.
_JOINTS = frozenset(
    {
        "about", "after", "and", "as", "at", "before", "but", "by", "for", "from", "if", "in", "into", "of", "on", "onto", "or", "over", "so",
        "than", "that", "through", "to", "under", "until", "when", "where", "which", "while", "with", "without",
    }
)  # fmt: skip
_NO_END = _JOINTS | {"a", "an", "the", "its", "their", "your", "each", "every", "some", "very", "approx"}
_TIMES = ("", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth")
_COUNTED = re.compile(rf", (?:(?:{'|'.join(_TIMES[1:])}) time|time \d+)$")
_EDGES = " ,;:.–—-…"


def title_of(clause: str, visible: str = "") -> str:
    """A title from the words of a step: no opening *then*, no end in the middle of a phrase, a capital first.

    A lone verb (*flip*) is followed by what is to be seen (``visible``), so that the line can be read without the recipe.
    """
    text = " ".join(clause.split())
    is_cut = text.endswith("…") or len(text) > LONGEST
    words = text.strip(_EDGES).split()
    while len(words) > 1 and words[0].lower().strip(_EDGES) in _OPENERS:
        words.pop(0)
    words = _whole(words) if is_cut else words
    said = _without_open_bracket(" ".join(_end_well(words))).strip(_EDGES)
    said = said.capitalize() if said.isupper() else said
    seen = visible.partition(";")[0].strip()
    if seen and " " not in said:
        said = f"{said}: {seen}" if said else seen
    return with_capital(said)


def tell_apart(titles: Iterable[str], taken: Iterable[str] = ()) -> list[str]:
    """The titles in their order, each different from those ``taken`` and those before it: *Fold it over, second time*."""
    known, found = {each.casefold() for each in taken}, []
    for title in titles:
        said, number, plain = title, 2, _COUNTED.sub("", title)
        while said.casefold() in known:
            said = f"{plain}, {_TIMES[number - 1]} time" if number <= len(_TIMES) else f"{plain}, time {number}"
            number += 1
        known.add(said.casefold())
        found.append(said)
    return found


def _whole(words: list[str]) -> list[str]:
    """What was cut short, back to the last whole phrase."""
    while len(words) > 1 and len(" ".join(words)) > LONGEST:
        words.pop()
    words = _end_well(_without_open_bracket(" ".join(words)).split())
    joints = [place for place, word in enumerate(words) if place > 1 and word.lower().strip(_EDGES) in _JOINTS]
    return words[: joints[-1]] if joints else words


def _end_well(words: list[str]) -> list[str]:
    while len(words) > 1 and words[-1].lower().strip(_EDGES) in _NO_END - _STANDS_LAST:
        words = words[:-1]
    return words


_STANDS_LAST = frozenset({"in", "on", "over", "through", "under"})  # pour it in, turn it over


def _without_open_bracket(text: str) -> str:
    opened = text.rfind("(")
    text = text[:opened] if opened > text.rfind(")") else text
    return re.sub(r"\s+", " ", text).strip()
