"""Which lines of the ingredients a moment uses: a guess from its words, which the person sees and changes."""

from __future__ import annotations

import re
from collections.abc import Sequence

from shoots.shopping.units import singular

# Words of an ingredient that say how it is and not what it is. Common practice, no source.
_HOW_IT_IS = """
    a an and of or the with for in to baby big black blue boneless bought brined brown canned chilled clear cold cooked cool
    cracked crushed dark dried dry extra fat fine fresh freshly frozen good green grated ground hard heavy hot iced large lean
    light little lukewarm medium melted mild mixed more new old other peeled plain raw ready red ripe risen roast roasted rough
    salted sea skinless sliced small smoked soft some sour spare strong sweet tender thick thin toasted unsalted virgin warm white
    whole wild yellow young
"""
HOW_IT_IS = frozenset(_HOW_IT_IS.split())
# Parts that are called by their own name. Common practice, no source.
PART_OF = {"yolk": "egg", "white": "egg", "dough": "flour", "batter": "flour", "zest": "lemon", "floret": "cauliflower"}
# Before these words stands what is poured or scattered, behind them where it goes.
_GOES_TO = re.compile(r"\b(?:into|onto|over|on|in|beside|around|to|under)\b")
_STANDS_FOR = re.compile(r"\b(?:it|them)\b")


def guess_lines(what: str, step: str, names: Sequence[str]) -> tuple[int, ...]:
    """The places of the ingredient names a moment seems to use, in their order; empty when its words name none.

    The moment's own words decide, those before *into*, *over* and the like first; only where they say *it* or *them* (*pour it in*)
    the words of the step up to them are asked, and the last one named there is taken.
    """
    words = what.casefold()
    found = _named(_GOES_TO.split(words)[0], names) or _named(words, names)
    if found or not _STANDS_FOR.search(words):
        return tuple(sorted(found))
    before = step.casefold()
    place = before.find(words)
    named = _named(before[:place] if place > 0 else "", names)
    last = max(named.values(), default=-1)
    return tuple(sorted(each for each, at in named.items() if at == last))


def _named(text: str, names: Sequence[str]) -> dict[int, int]:
    """Which names the text names, and where it names them last. Of names that share words those with most of them count."""
    words = [singular(word) for word in re.findall(r"[^\W\d_]+", text)]
    is_egg = "egg" in words or "yolk" in words
    spoken: dict[str, int] = {}
    for place, word in enumerate(words):
        spoken[word] = place
        if word in PART_OF and (word != "white" or is_egg):
            spoken[PART_OF[word]] = place
    scores: dict[int, tuple[int, int]] = {}
    for number, name in enumerate(names):
        own = [singular(word) for word in re.findall(r"[^\W\d_]+", name.casefold())]
        if telling := [spoken[word] for word in own if word in spoken and word not in HOW_IT_IS]:
            scores[number] = (sum(word in spoken for word in own), max(telling))
    best: dict[int, int] = {}
    for score, place in scores.values():
        best[place] = max(best.get(place, 0), score)
    return {number: place for number, (score, place) in scores.items() if score == best[place]}
