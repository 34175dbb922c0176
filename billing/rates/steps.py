"""The factors of a usage fee in words, for a page on which each figure opens: *For how long, 1.5, 24 months, not exclusive*."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Any

from billing.rates.examples import code_in_words, decimal_of
from shared.money import round_exact
from shared.words import formats
from shared.words.formats import with_capital

FACTOR_NAMES = {
    "base": "Base fee",
    "classes": "What it is for",
    "media": "Where it is shown",
    "territories": "In which countries",
    "term": "For how long",
    "copies": "Copies",
    "pictures": "Pictures",
}


@dataclass(frozen=True, slots=True)
class Step:
    """One factor of a fee in words: its name, its value, and what it stands for."""

    name: str
    value: Decimal
    reason: str


@dataclass(frozen=True, slots=True)
class LineInWords:
    """A line of a fee: the uses in it, counted from 1, its factors, and what they multiply out to, exactly and to the cent."""

    uses: tuple[int, ...]
    steps: tuple[Step, ...]
    exact: Decimal
    sum: Decimal


def steps_in_words(working: Iterable[tuple[str, Fraction, str]]) -> tuple[Step, ...]:
    """The factors of a line, each by its name, value and reason (codes, where it stands for codes)."""
    return tuple(Step(FACTOR_NAMES[name], decimal_of(value), _reason(name, reason)) for name, value, reason in working)


def lines_in_words(figures: Mapping[str, Any]) -> tuple[LineInWords, ...]:
    """The lines of a fee kept as ``fee_data``; none where nothing was kept."""
    return tuple(
        LineInWords(
            tuple(index + 1 for index in line["items"]),
            steps_in_words((name, Fraction(value), reason) for name, value, reason in line["working"]),
            decimal_of(Fraction(line["sum"])),
            round_exact(Fraction(line["sum"])),
        )
        for line in figures.get("lines", ())
    )


def named(tree: str, codes: Iterable[str]) -> str:
    """Codes of classes, media or territories in words: *Website and Social media*."""
    return formats.list_in_words([code_in_words(tree, code) for code in codes], "en")


def _reason(name: str, reason: str) -> str:
    if name in ("classes", "media", "territories"):
        return named(name, reason.split(", "))
    return with_capital(reason)
