"""Allergens that the names in a recipe point to: a question for the cook, never a declaration.

Lists: Regulation (EU) No 1169/2011, Annex II (fourteen); for the United States FALCPA 2004 and the FASTER Act 2021 (nine).
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache

CAUTION = "Read from the recipe by a word list. Check with the cook and the labels. Not a declaration."
LONGEST_LINE = 1_000
CONTAINS, ASK = "contains", "ask"


class InvalidAllergenWords(ValueError):
    """The table of words has a fault; says which part."""


@dataclass(frozen=True, slots=True)
class Allergen:
    """One of the fourteen: its key, its name, its number in Annex II, what the US list calls it (empty: not on it), the words for it, and what people call it.

    `not_us` are words of which the US list says nothing (rye is no wheat), `ask_us` those that only ask there (beer may hold wheat).
    """

    key: str
    name: str
    annex_ii: int
    us: str
    contains: re.Pattern[str] | None
    ask: re.Pattern[str] | None
    names: frozenset[str]
    not_us: re.Pattern[str] | None = None
    ask_us: re.Pattern[str] | None = None


@dataclass(frozen=True, slots=True, eq=False)
class AllergenWords:
    """The allergens, the phrases that look like one but are not, those that mean another, and the claims that turn `contains` into `ask`."""

    allergens: tuple[Allergen, ...]
    look_alike: re.Pattern[str]
    rename: tuple[tuple[re.Pattern[str], str], ...]
    rename_us: tuple[tuple[re.Pattern[str], str], ...]
    claims: tuple[tuple[str, re.Pattern[str], frozenset[str]], ...]


@dataclass(frozen=True, slots=True)
class SuggestedAllergen:
    """An allergen the words point to: `contains` (the name says so) or `ask` (it often does), and the words."""

    key: str
    name: str
    level: str
    words: tuple[str, ...]
    us: str


def read_allergen_words(table: Mapping[str, object]) -> AllergenWords:
    """The words in a parsed table. Raises InvalidAllergenWords when a part is missing or a claim names an unknown allergen."""
    rows, look_alike = table.get("allergen"), table.get("look_alike")
    renames, renames_us, claims = table.get("rename"), table.get("rename_us"), table.get("only")
    if not (isinstance(rows, list) and isinstance(look_alike, dict) and isinstance(renames, dict)):
        raise InvalidAllergenWords("The table of allergens lacks its rows, look-alikes or renames.")
    if not (isinstance(renames_us, dict) and isinstance(claims, dict)):
        raise InvalidAllergenWords("The table of allergens lacks its claims or the renames of the US list.")
    allergens = tuple(
        Allergen(
            key=row["id"],
            name=row["name"],
            annex_ii=row["eu_annex_ii"],
            us=row["us"],
            contains=_any_of(row["contains"]),
            ask=_any_of(row["ask"]),
            not_us=_any_of(row.get("not_us", ())),
            ask_us=_any_of(row.get("ask_us", ())),
            names=frozenset(
                _said(name) for name in (row["id"], class_of(row["name"]), row["us"], *row["names"]) if name
            ),
        )
        for row in rows
    )
    keys = {allergen.key for allergen in allergens}
    if any(not set(listed) <= keys for listed in claims.values()):
        raise InvalidAllergenWords("A claim names an allergen that is not in the table.")
    blanked = _any_of(look_alike["phrases"])
    if blanked is None:
        raise InvalidAllergenWords("There are no look-alikes.")
    return AllergenWords(
        allergens,
        blanked,
        tuple((_whole(phrase), key) for phrase, key in renames.items()),
        tuple((_whole(phrase), key) for phrase, key in renames_us.items()),
        tuple((phrase, _whole(phrase), frozenset(listed)) for phrase, listed in claims.items()),
    )


def suggest_allergens(
    ingredients: Iterable[str], words: AllergenWords, *, steps: Iterable[str] = (), us: bool = False
) -> tuple[SuggestedAllergen, ...]:
    """The allergens that the lines of ingredients and of steps point to, in the order of Annex II; with `us`, those of the US nine.

    In a step `roll` is mostly a verb and `rolls` may be of leek: the verb says nothing there, the noun asks.

    A claim ("gluten-free", "vegan") turns `contains` into `ask` for the allergens it speaks of, never into nothing; a `contains` elsewhere wins.
    """
    found: dict[str, dict[str, list[str]]] = {allergen.key: {CONTAINS: [], ASK: []} for allergen in words.allergens}
    read = [each for line in ingredients for piece in _pieces(line) for each in _in_line(piece, words, us=us)]
    read += [each for line in steps for piece in _pieces(line) for each in _in_step(piece, words, us=us)]
    by_key = {allergen.key: allergen for allergen in words.allergens}
    for key, level, word in read:
        level = _level_us(level, word, by_key[key]) if us else level  # noqa: PLW2901 - the same finding, on the other list
        if level and word not in found[key][level]:
            found[key][level].append(word)
    suggested = []
    for allergen in words.allergens:
        levels = found[allergen.key]
        level = CONTAINS if levels[CONTAINS] else ASK
        if levels[level] and not (us and not allergen.us):
            suggested.append(SuggestedAllergen(allergen.key, allergen.name, level, tuple(levels[level]), allergen.us))
    return tuple(suggested)


def _level_us(level: str, word: str, allergen: Allergen) -> str:
    """The level on the US list; empty when the word says nothing there."""
    if allergen.not_us and allergen.not_us.fullmatch(word):
        return ""
    return ASK if allergen.ask_us and allergen.ask_us.fullmatch(word) else level


def allergen_keys_of(typed: str, words: AllergenWords) -> tuple[str, ...]:
    """The allergens a person means who typed `gluten`, `dairy` or `prawns`, by key in the order of Annex II.

    None for a word that names none, for a dish, and for a claim ("gluten-free"); several where the word covers several ("shellfish": crustaceans and molluscs).
    """
    said = _said(typed)
    named = tuple(
        allergen.key for allergen in words.allergens if said in allergen.names or said.rstrip("s") in allergen.names
    )
    if named or not said:
        return named
    return tuple(found.key for found in suggest_allergens([typed], words) if found.level == CONTAINS)


def allergen_key_of(typed: str, words: AllergenWords) -> str | None:
    """The one allergen that was typed; None when the words name none, or more than one ("shellfish"): then ask which."""
    keys = allergen_keys_of(typed, words)
    return keys[0] if len(keys) == 1 else None


def class_of(name: str) -> str:
    """The class of an allergen without its members: `Cereals containing gluten`, `Sulphur dioxide and sulphites`."""
    return re.split(r"[(:,]| above", name)[0].strip()


def _said(typed: str) -> str:
    return " ".join(re.findall(r"[^\W_]+", typed.casefold()))


_PIECE = re.compile(r"[^\n]{1,300}(?=[.,;\s]|$)|[^\n]{1,300}")


def _pieces(line: str) -> list[str]:
    """The line in lower case; a very long one in pieces, so that reading it takes no longer than its length asks."""
    line = line.lower()
    return [line] if len(line) <= LONGEST_LINE else _PIECE.findall(line)


_ROLLING = re.compile(r"\broll(?=\s(?:out|up|it|them|the|each|a|an|into|in|between|tightly|over)\b)")


def _in_step(line: str, words: AllergenWords, *, us: bool) -> Iterator[tuple[str, str, str]]:
    for key, level, word in _in_line(_ROLLING.sub("    ", line), words, us=us):
        yield key, ASK if word in ("roll", "rolls") else level, word


def _in_line(line: str, words: AllergenWords, *, us: bool) -> tuple[tuple[str, str, str], ...]:
    return _read_line(line, words, us)


@lru_cache(maxsize=4096)  # every page of a dish reads the same lines
def _read_line(line: str, words: AllergenWords, us: bool) -> tuple[tuple[str, str, str], ...]:  # noqa: FBT001 - a key of what is kept
    return tuple(_find_in_line(line, words, us=us))


def _find_in_line(line: str, words: AllergenWords, *, us: bool) -> Iterator[tuple[str, str, str]]:
    claimed = list(_claimed_spans(line, words))
    renames = (*words.rename, *(words.rename_us if us else ()))
    for pattern, key in renames:
        for match in pattern.finditer(line):
            yield key, ASK if _is_claimed(key, match.start(), claimed) else CONTAINS, match[0]
    blanked = words.look_alike.sub(lambda match: " " * len(match[0]), line)
    for allergen in words.allergens:
        for level, searched in ((CONTAINS, allergen.contains), (ASK, allergen.ask)):
            for match in searched.finditer(blanked) if searched else ():
                if any(start <= match.start() < end for start, end, _, _ in claimed):
                    continue
                yield allergen.key, ASK if _is_claimed(allergen.key, match.start(), claimed) else level, match[0]


Claimed = tuple[int, int, range, frozenset[str]]

_STOPS = re.compile(r"[,.:/()\[\];]|\b(?:and|or|with|in|on|of|for|from|if|plus|but|to|then)\b")
_WORD = re.compile(r"[^\W_]+(?:[-'’][^\W_]+)*")


def _claimed_spans(line: str, words: AllergenWords) -> Iterator[Claimed]:
    """Where each claim stands, and how far it reaches: three words on, or, when nothing follows, the three words or the piece before it."""
    for phrase, pattern, keys in words.claims:
        for match in pattern.finditer(line):
            if re.search(r"\b(?:not|non|if|for|or|nor)[\s-]+$", line[: match.start()]):
                continue
            if phrase.startswith("no "):
                yield match.start(), match.start(), range(match.start(), match.end()), keys
                continue
            start, end = _reach_after(line, match.end())
            if start == end:
                start, end = _reach_before(line, match.start())
            yield match.start(), match.end(), range(start, end), keys


def _reach_after(line: str, start: int) -> tuple[int, int]:
    stop = _STOPS.search(line, start)
    piece_end = stop.start() if stop else len(line)
    following = list(_WORD.finditer(line, start, piece_end))[:3]
    return (start, following[-1].end()) if following else (start, start)


def _reach_before(line: str, end: int) -> tuple[int, int]:
    head = line[:end]
    trimmed = head.rstrip(" ,(")
    separated = trimmed != head.rstrip()
    stops = list(_STOPS.finditer(trimmed))
    piece_start = stops[-1].end() if stops else 0
    if separated:
        return piece_start, len(trimmed)
    before = list(_WORD.finditer(trimmed, piece_start))[-3:]
    return (before[0].start(), len(trimmed)) if before else (end, end)


def _is_claimed(key: str, place: int, claimed: Iterable[Claimed]) -> bool:
    return any(place in reach and key in keys for _, _, reach, keys in claimed)


def _any_of(fragments: Iterable[str]) -> re.Pattern[str] | None:
    joined = "|".join(sorted(fragments, key=len, reverse=True))
    return _whole(joined) if joined else None


def _whole(fragment: str) -> re.Pattern[str]:
    return re.compile(rf"(?<![^\W_])(?:{fragment})(?![^\W_])")
