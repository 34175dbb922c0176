"""The fixed words of the cook's sheet, the hazards and the allergens in the languages of the sheet; a paper in four of them needs no studio that speaks them."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, time, timedelta

from babel.dates import format_date

ENGLISH = "en"
ENGLISH_IS_THE_KEY = ("hazard", "drafted", "asked")
NUMBERS = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")


class InvalidSheetWords(ValueError):
    """The table of words has a fault; says which part."""


@dataclass(frozen=True, slots=True, eq=False)
class SheetWords:
    """Phrases by key, hazards and drafted phrases by their English, allergens by key: each a word a language. ``asked``: the
    sentences with figures that the shopping writes, each as a pattern of its English with what it says in the other languages. ``checked`` says who stands for them."""

    languages: tuple[str, ...]
    phrases: Mapping[str, Mapping[str, str]]
    hazards: Mapping[str, Mapping[str, str]]
    allergens: Mapping[str, Mapping[str, str]]
    drafted: Mapping[str, Mapping[str, str]]
    asked: tuple[tuple[re.Pattern[str], Mapping[str, str]], ...]
    checked: str

    def say(self, key: str, language: str, **filled: object) -> str:
        """A phrase in a language, its braces filled. KeyError when there is no such phrase; English for a language the table lacks."""
        words = self.phrases[key]
        return words.get(language, words[ENGLISH]).format(**filled)

    def allergen(self, key: str, language: str) -> str:
        """The short name of one of the fourteen. KeyError for another key."""
        words = self.allergens[key]
        return words.get(language, words[ENGLISH])


def read_sheet_words(table: Mapping[str, object]) -> SheetWords:
    """The words in a parsed table. Raises InvalidSheetWords when a word lacks one of the table's languages or a part is missing."""
    languages, checked = table.get("languages"), table.get("checked")
    if not isinstance(languages, list) or ENGLISH not in languages or not isinstance(checked, str):
        raise InvalidSheetWords("The table of sheet words names no languages, or not who checked them.")
    parts = {}
    for part in ("phrase", "hazard", "allergen", *ENGLISH_IS_THE_KEY[1:]):
        rows = table.get(part)
        if not isinstance(rows, dict) or not rows:
            raise InvalidSheetWords(f"The table of sheet words has no {part}.")
        for key, words in rows.items():
            wanted = [each for each in languages if part not in ENGLISH_IS_THE_KEY or each != ENGLISH]
            missing = [each for each in wanted if not words.get(each)]
            if missing:
                raise InvalidSheetWords(f"The {part} {key} has no word in {', '.join(missing)}.")
        parts[part] = rows
    hazards, drafted = (
        {key: {**words, ENGLISH: key} for key, words in parts[part].items()} for part in ENGLISH_IS_THE_KEY[:2]
    )
    asked = tuple((_pattern_of(english), words) for english, words in parts["asked"].items())
    return SheetWords(tuple(languages), parts["phrase"], hazards, parts["allergen"], drafted, asked, checked)


def _pattern_of(english: str) -> re.Pattern[str]:
    """A sentence with names in braces as a pattern of what it says when they are filled; ``(s)`` stands for one and for several."""
    escaped = re.escape(english).replace(re.escape("(s)"), "s?")
    return re.compile(re.sub(r"\\{(\w+)\\}", r"(?P<\1>.+?)", escaped))


_PLAIN = re.compile(r"[-−]?\d+(?:[.,]\d+)?\s*(?:°\s*[CF]|°)?")


def hazard_in(text: str, language: str, words: SheetWords) -> str:
    """A hazard of a shot in a language, where all of it comes from the lexicon or is a figure; what a person typed stays as typed."""
    pieces = [piece.strip() for piece in text.strip().rstrip(".").split(",")]
    known = [_hazard_piece(piece, language, words) for piece in pieces]
    if not all(known):
        return text
    said = ", ".join(known)
    return f"{said[:1].upper()}{said[1:]}{'.' if text.strip().endswith('.') else ''}"


def drafted_in(text: str, language: str, words: SheetWords) -> str:
    """A phrase the house drafted, two of them with a semicolon between, or what the shopping asks for, in a language; any other stays as typed.

    In what the shopping asks for, figures, units and the names of ingredients stay as they are written.
    """
    if found := words.drafted.get(text):
        return found.get(language, text)
    if language != ENGLISH and (asked := _asked(text, words)):
        said, values = asked
        return said[language].format(**values) if language in said else text
    for part in re.finditer("; ", text):
        first, second = words.drafted.get(text[: part.start()]), words.drafted.get(text[part.end() :])
        if first and second:
            return f"{first.get(language, first[ENGLISH])}; {second.get(language, second[ENGLISH])}"
    return text


def is_asked(text: str, words: SheetWords) -> bool:
    """Is it a sentence the shopping writes?"""
    return _asked(text, words) is not None


def is_of_the_moment(text: str, words: SheetWords) -> bool:
    """Does what the shopping asks for name no ingredient, so that it means nothing away from its moment (*Have 1 more ready*)?"""
    asked = _asked(text, words)
    return asked is not None and not {"name", "whole", "total"} & set(asked[1])


def _asked(text: str, words: SheetWords) -> tuple[Mapping[str, str], dict[str, str]] | None:
    for pattern, said in words.asked:
        if found := pattern.fullmatch(text):
            values = found.groupdict()
            for key, value in values.items():
                values[key] = str(NUMBERS.index(value) + 1) if value in NUMBERS else value
            if "parts" in values:
                values["parts"] = values["parts"].replace(" and ", ", ")
            return said, values
    return None


def _hazard_piece(piece: str, language: str, words: SheetWords) -> str:
    if _PLAIN.fullmatch(piece):
        return piece
    found = words.hazards.get(piece.lower())
    return found.get(language, found[ENGLISH]) if found else ""


def day_in(value: date, language: str) -> str:
    """A day written out: Saturday 14 November 2026, samedi 14 novembre 2026."""
    patterns = {"de": "EEEE, d. MMMM y", "es": "EEEE d 'de' MMMM 'de' y"}
    return str(format_date(value, patterns.get(language, "EEEE d MMMM y"), locale=language))


def weekday_in(value: date, language: str) -> str:
    """The day of the week: Saturday, samedi."""
    return str(format_date(value, "EEEE", locale=language))


def day_on(first: date | None, number: int) -> date | None:
    """The day of a shoot of that number, counted from 1; None while the first is not fixed."""
    return first + timedelta(days=number - 1) if first else None


def days_in(first: date | None, last: date | None, language: str, words: SheetWords) -> str:
    """The day of a shoot, or its first and last."""
    if first is None:
        return words.say("no_day", language)
    ends = [first] if last in {None, first} else [first, last]
    return " – ".join(day_in(each, language) for each in ends if each)


def hours_in(from_time: time | None, until_time: time | None, language: str, words: SheetWords) -> str:
    """From when until when, in 24 hours; nothing where no beginning is said."""
    if from_time is None:
        return ""
    if until_time is None:
        return words.say("from", language, time=f"{from_time:%H:%M}")
    return words.say("from_to", language, time=f"{from_time:%H:%M}", until=f"{until_time:%H:%M}")


def allergens_in(keys: Iterable[str], language: str, words: SheetWords) -> str:
    """Allergens by key or, where it is none of the fourteen, as typed: *milk, nuts, pink pepper*."""
    return ", ".join(words.allergen(key, language) if key in words.allergens else key for key in keys)
