"""A recipe typed as plain text, taken apart line by line. Every line goes somewhere."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from shoots.plan.ingredients import starts_with_quantity

# Headings, in lower case; those of other languages only open their part, what stands under them is kept as it is (from memory).
INGREDIENTS = frozenset(
    [
        "ingredients",
        "ingredient",
        "ingredient list",
        "list of ingredients",
        "what you need",
        "you need",
        "you will need",
        "you'll need",
        "for the ingredients",
        "shopping list",
        "zutaten",
        "ingrédients",
        "ingredientes",
        "ingredienti",
        "ingrediënten",
        "ingredienser",
        "składniki",
        "malzemeler",
    ]
)
METHOD = frozenset(
    [
        "method",
        "directions",
        "direction",
        "instructions",
        "instruction",
        "preparation",
        "steps",
        "procedure",
        "how to make it",
        "how to",
        "what to do",
        "cooking method",
        "preparation method",
        "zubereitung",
        "so geht's",
        "anleitung",
        "préparation",
        "étapes",
        "recette",
        "preparación",
        "elaboración",
        "instrucciones",
        "pasos",
        "preparazione",
        "procedimento",
        "preparo",
        "modo de preparo",
        "bereiding",
        "bereidingswijze",
        "gör så här",
        "tillagning",
        "instruktioner",
        "fremgangsmåde",
        "framgangsmåte",
        "fremgangsmåte",
        "przygotowanie",
        "sposób przygotowania",
        "hazırlanışı",
        "yapılışı",
    ]
)
NOTES = frozenset(
    [
        "notes",
        "note",
        "tips",
        "tip",
        "variations",
        "hints",
        "see also",
        "cook's notes",
        "serving suggestion",
        "storage",
        "notizen",
        "tipps",
        "conseils",
        "consejos",
        "consigli",
    ]
)
LONGEST_TITLE = 160
_YIELD = re.compile(
    r"^(?:serves|servings?|yields?|makes|portions?|portionen|porciones|porzioni|(?:for|für|pour|para|per) (?=\d+ (?:people|persons|servings|portions|personen|personnes|personas|persone|pessoas)))\b\s*:?\s*(?P<how_much>.*)$",
    re.IGNORECASE,
)
_TIMES = re.compile(
    r"^(?:prep(?:aration)?|cook(?:ing)?|total|baking|resting|active|difficulty|category|cuisine|source|author)(?:\s+time)?\s*:",
    re.IGNORECASE,
)
_A_TIME = re.compile(
    r"\D{0,8}\d[\d\s.,/½¼¾–-]{0,8}(?:m|h|s|d)[a-z]{0,6}\.?(?:[\s,a-z]{0,5}\d+\s?m[a-z]{0,6}\.?)?$", re.IGNORECASE
)
_ONLY_A_NUMBER = re.compile(r"^(?:step\s*)?\(?\d{1,3}[.):]?$", re.IGNORECASE)
_INLINE_NUMBER = re.compile(r"(?<=[.!?;])\s+\(?(\d{1,2})[.)]\s+(?=[^\W\d_])")
_HEADING_WITH_MORE = re.compile(
    r"^(?P<name>[^\W\d_][\w' ]{2,24}?)\s*(?:\((?P<bracket>[^()]{1,60})\)\s*:?|:\s*(?P<more>\S.*))$"
)
_NUMBERED = re.compile(r"^\s*(?:step\s+)?\(?\d{1,3}[.):](?!\d)\s*", re.IGNORECASE)
_EMPHASIS = re.compile(r"(\*\*|__)(.+?)\1")
_BULLETED = re.compile(r"^\s*[-*•·–—‣◦▢□]+\s+")


@dataclass(slots=True)
class Pasted:
    """The raw lines of a recipe, sorted but not read: (section, text) of ingredients and steps, and what could not be placed, with the reason; the language, if it is declared."""

    title: str = ""
    yields: str = ""
    ingredients: list[tuple[str, str]] = field(default_factory=list)
    steps: list[tuple[str, str]] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    headings: list[str] = field(default_factory=list)
    unread: list[tuple[str, str]] = field(default_factory=list)
    language: str = ""


def sort_lines(text: str) -> Pasted:
    """Sorts the lines of a plain-text recipe: the first is the title, headings open their part, notes end the method."""
    pasted = Pasted()
    lines = [line.rstrip() for line in text.splitlines() if line.strip()]
    has_headings = any(_part_named(line) for line in lines[1:])
    part, section, start = "", "", 0
    steps = _Steps(pasted)
    listed = bool(lines) and bool(_NUMBERED.match(lines[0]) or _BULLETED.match(lines[0]))
    if lines and not listed and not _part_named(lines[0]) and len(_unmarked(lines[0])) <= LONGEST_TITLE:
        pasted.title, start = _unmarked(lines[0]), 1
    for line in lines[start:]:
        words = _unmarked(line)
        if named := _part_named(line):
            more = _words_beside(words)
            if named == "notes" and more:  # `Tip: ...` among the steps is one note, not the end of them
                pasted.notes.append(words)
                continue
            part, section = named, ""
            _write_heading(pasted, words, named)
            if named == "ingredients":
                pasted.ingredients.extend(("", piece) for piece in _listed(more))
            elif more:
                steps.add("", more)
            continue
        if part in ("", "ingredients") and (found := _YIELD.match(words)) and len(words) < 80:
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
                steps.add(section, line)
            else:
                pasted.ingredients.append((section, words))
        elif part == "method":
            steps.add(section, line)
        elif has_headings:
            pasted.notes.append(words)
        else:
            _place_without_headings(pasted, steps, line, words)
    steps.close()
    return pasted


def split_numbered(line: str) -> list[str]:
    """`1. Wash. 2. Cut.` as its steps, when the numbers run on from the first; any other line alone."""
    if not re.match(r"\s*\(?1[.)]\s", line):
        return [line]
    pieces, place, wanted = [], 0, 2
    for found in _INLINE_NUMBER.finditer(line):
        if int(found[1]) == wanted:
            pieces.append(line[place : found.start()])
            place, wanted = found.start(), wanted + 1
    return [piece.strip() for piece in (*pieces, line[place:])]


class _Steps:
    """The steps as they come, each a list of the lines that belong to it, so that a long one is joined once."""

    def __init__(self, pasted: Pasted) -> None:
        self.pasted = pasted
        self.open: list[tuple[str, list[str]]] = []
        self.numbered = False

    def add(self, section: str, line: str) -> None:
        """Adds a step, or joins a wrapped line to the step before it."""
        for piece in split_numbered(line):
            self._add(section, piece)

    def _add(self, section: str, line: str) -> None:
        if _ONLY_A_NUMBER.match(_unmarked(line)):
            self.pasted.headings.append(line.strip())
            return
        has_number = bool(_NUMBERED.match(line))
        words = _NUMBERED.sub("", _unmarked(line), count=1).strip()
        if not words:
            self.pasted.unread.append((line.strip(), "Only marks stood here, no words."))
        elif self.open and not has_number and not _BULLETED.match(line) and self._continues(words):
            self.open[-1][1].append(words)
        else:
            self.open.append((section, [words]))
        self.numbered = self.numbered or has_number

    def _continues(self, words: str) -> bool:
        before = self.open[-1][1][-1]
        if words[0].islower():
            return self.numbered or before[-1] not in ".!?:"
        return words[0].isdigit() and len(before) > 40 and before[-1] not in ".!?:"  # wrapped before `180 °C`

    def close(self) -> None:
        """Writes the steps down."""
        self.pasted.steps.extend((section, " ".join(lines)) for section, lines in self.open)


def _words_beside(heading: str) -> str:
    """What stands on the line of a heading, after its colon."""
    found = None if _known_part(heading) else _HEADING_WITH_MORE.match(heading)
    return (found["more"] or "") if found else ""


def _write_heading(pasted: Pasted, words: str, part: str) -> None:
    found = None if _known_part(words) else _HEADING_WITH_MORE.match(words)
    pasted.headings.append(found["name"] if found and found["more"] else words)
    if (
        found
        and found["bracket"]
        and part == "ingredients"
        and not pasted.yields
        and re.search(r"\d", found["bracket"])
    ):
        pasted.yields = found["bracket"]


def _listed(words: str) -> list[str]:
    """Ingredients on one line: taken apart at commas when more than one piece begins with a quantity."""
    pieces = [piece.strip() for piece in re.split(r"[;,]\s+(?![^()]{0,80}\))", words) if piece.strip()]
    return pieces if sum(starts_with_quantity(piece) for piece in pieces) > 1 else [words] if words else []


def _place_without_headings(pasted: Pasted, steps: _Steps, line: str, words: str) -> None:
    """No heading says what a line is: a quantity and no sentence is an ingredient, a sentence a step, the rest is shown as unread."""
    if _is_sentence(words) or (_NUMBERED.match(line) and len(words.split()) > 3):
        steps.add("", line)
    elif not steps.open and (starts_with_quantity(words) or _BULLETED.match(line)):
        pasted.ingredients.append(("", words))
    elif steps.open and len(words.split()) > 3:
        steps.add("", line)
    else:
        pasted.unread.append((words, "No heading says whether this is an ingredient or a step."))


def _part_named(line: str) -> str:
    words = _unmarked(line)
    if part := _known_part(words):
        return part
    found = _HEADING_WITH_MORE.match(words[:400])
    if not found or _NUMBERED.match(line) or (found["more"] and _TIMES.match(words) and _A_TIME.match(found["more"])):
        return ""
    return _known_part(found["name"])


def _known_part(words: str) -> str:
    words = words.rstrip(":").strip().lower().replace("’", "'")
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
    line = _BULLETED.sub("", line).strip()
    if line.startswith("#"):
        line = line.lstrip("#").strip()
    return _EMPHASIS.sub(r"\2", line).strip() if "**" in line or "__" in line else line
