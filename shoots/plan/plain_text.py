"""A recipe typed as plain text, taken apart line by line. Every line goes somewhere."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from shoots.plan.ingredients import starts_with_quantity

INGREDIENTS = {
    "ingredients",
    "ingredient",
    "ingredient list",
    "what you need",
    "you need",
    "zutaten",
    "for the ingredients",
}
METHOD = {
    "method",
    "directions",
    "direction",
    "instructions",
    "preparation",
    "steps",
    "procedure",
    "how to make it",
    "zubereitung",
}
NOTES = {"notes", "note", "tips", "tip", "variations", "hints", "see also", "notizen"}
_YIELD = re.compile(
    r"^(?:serves|servings?|yields?|makes|portions?|for (?=\d+ (?:people|persons|servings|portions)))\b\s*:?\s*(?P<how_much>.*)$",
    re.IGNORECASE,
)
_TIMES = re.compile(
    r"^(?:prep(?:aration)?|cook(?:ing)?|total|baking|resting|active|difficulty|category|cuisine|source|author)(?:\s+time)?\s*:",
    re.IGNORECASE,
)
_NUMBERED = re.compile(r"^\s*(?:step\s+)?\(?\d{1,3}[.):](?!\d)\s*", re.IGNORECASE)
_BULLETED = re.compile(r"^\s*[-*•·–—‣◦▢□]+\s+")


@dataclass(slots=True)
class Pasted:
    """The raw lines of a recipe, sorted but not read: (section, text) of ingredients and steps, and what could not be placed, with the reason."""

    title: str = ""
    yields: str = ""
    ingredients: list[tuple[str, str]] = field(default_factory=list)
    steps: list[tuple[str, str]] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    headings: list[str] = field(default_factory=list)
    unread: list[tuple[str, str]] = field(default_factory=list)


def sort_lines(text: str) -> Pasted:
    """Sorts the lines of a plain-text recipe: the first is the title, headings open their part, notes end the method."""
    pasted = Pasted()
    lines = [line.rstrip() for line in text.splitlines() if line.strip()]
    has_headings = any(_part_named(line) for line in lines[1:])
    part, section, numbered, start = "", "", False, 0
    if lines and not _part_named(lines[0]):
        pasted.title, start = _unmarked(lines[0]), 1
    for line in lines[start:]:
        words = _unmarked(line)
        if named := _part_named(line):
            part, section = named, ""
            pasted.headings.append(words)
        elif part in ("", "ingredients") and (found := _YIELD.match(words)) and len(words) < 80:
            pasted.yields = pasted.yields or found["how_much"].strip() or words
            pasted.headings.append(words)
        elif part not in {"method", "notes"} and _TIMES.match(words):
            pasted.headings.append(words)
        elif part == "notes":
            pasted.notes.append(words)
        elif part in ("ingredients", "method") and _is_section(line, part):
            section = words.rstrip(":").strip()
            pasted.headings.append(words)
        elif part == "ingredients" or (part == "" and has_headings and not _is_sentence(words)):
            if part == "ingredients" and _is_sentence(words) and _NUMBERED.match(line) and len(words) > 60:
                part = "method"
                _add_step(pasted, section, line, numbered=False)
            else:
                pasted.ingredients.append((section, words))
        elif part == "method":
            numbered = _add_step(pasted, section, line, numbered=numbered)
        elif has_headings:
            pasted.notes.append(words)
        else:
            _place_without_headings(pasted, line, words)
    return pasted


def _add_step(pasted: Pasted, section: str, line: str, *, numbered: bool) -> bool:
    """Adds a step, or joins a wrapped line to the step before it. Returns whether the steps are a numbered list."""
    has_number = bool(_NUMBERED.match(line))
    words = _NUMBERED.sub("", _unmarked(line), count=1).strip()
    if not words:
        pasted.unread.append((line.strip(), "A number without words stood among the steps."))
    elif (
        pasted.steps
        and not has_number
        and not _BULLETED.match(line)
        and _continues(pasted.steps[-1][1], words, numbered=numbered)
    ):
        before_section, before = pasted.steps[-1]
        pasted.steps[-1] = (before_section, f"{before} {words}")
    else:
        pasted.steps.append((section, words))
    return numbered or has_number


def _continues(before: str, words: str, *, numbered: bool) -> bool:
    return words[0].islower() and (numbered or before[-1] not in ".!?:")


def _place_without_headings(pasted: Pasted, line: str, words: str) -> None:
    """No heading says what a line is: a quantity and no sentence is an ingredient, a sentence a step, the rest is shown as unread."""
    if _is_sentence(words) or (_NUMBERED.match(line) and len(words.split()) > 3):
        _add_step(pasted, "", line, numbered=False)
    elif not pasted.steps and (starts_with_quantity(words) or _BULLETED.match(line)):
        pasted.ingredients.append(("", words))
    elif pasted.steps and len(words.split()) > 3:
        _add_step(pasted, "", line, numbered=False)
    else:
        pasted.unread.append((words, "No heading says whether this is an ingredient or a step."))


def _part_named(line: str) -> str:
    words = _unmarked(line).rstrip(":").strip().lower()
    if words in INGREDIENTS:
        return "ingredients"
    if words in METHOD:
        return "method"
    return "notes" if words in NOTES else ""


def _is_section(line: str, part: str) -> bool:
    words = _unmarked(line)
    if _NUMBERED.match(line) or _BULLETED.match(line) or len(words) > 60:
        return False
    named = words.endswith(":") or line.lstrip().startswith("#")
    return named or (part == "method" and bool(re.fullmatch(r"(?:For|To make) the [\w ]+", words)))


def _is_sentence(words: str) -> bool:
    return len(words.split()) > 3 and words[-1] in ".!?" and not re.search(r"\b(?:tsp|tbsp|oz|lb|approx|pkg)\.$", words)


def _unmarked(line: str) -> str:
    """The line without list bullets, heading marks and emphasis."""
    line = re.sub(r"^\s*#+\s*", "", _BULLETED.sub("", line))
    return re.sub(r"(\*\*|__)(.+?)\1", r"\2", line).strip()
