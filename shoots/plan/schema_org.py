"""A recipe given as schema.org/Recipe in JSON-LD, alone or inside the source of a page.

Source: schema.org/Recipe, schema.org/recipeInstructions, schema.org/HowToStep, schema.org/HowToSection; ISO 8601 for durations.
"""

from __future__ import annotations

import html
import json
import re
from collections.abc import Iterator
from fractions import Fraction

from shoots.plan.plain_text import Pasted, split_numbered

_SCRIPT = re.compile(r"<script\b[^<>]{0,300}>", re.IGNORECASE)
_SCRIPT_END = re.compile(r"</script", re.IGNORECASE)
_N = r"\d{1,9}(?:[.,]\d{1,9})?"
_DURATION = re.compile(
    rf"P(?:(?P<y>{_N})Y)?(?:(?P<mo>{_N})M)?(?:(?P<w>{_N})W)?(?:(?P<d>{_N})D)?(?:T(?:(?P<h>{_N})H)?(?:(?P<m>{_N})M)?(?:(?P<s>{_N})S)?)?",
    re.IGNORECASE,
)
_TIMES = {"prepTime": "Preparation", "cookTime": "Cooking", "performTime": "Work", "totalTime": "In all"}
_WORDS = {"recipeCategory": "Category", "recipeCuisine": "Cuisine"}
_FRAGMENT = re.compile(
    r"\s*<(?:h[1-6]|p|ul|ol|li|b|strong|em|br|span|section|table|tr|td)\b[^<>]{0,300}>", re.IGNORECASE
)
_DEEPEST = 12
LONGEST_PIECE = 200_000


def looks_structured(text: str) -> bool:
    """Is the text JSON, or a page with JSON-LD in it?"""
    return _is_json(text) or any(True for _ in _scripts(text))


def looks_like_a_page(text: str) -> bool:
    """Is the text the HTML source of a page?"""
    return bool(re.match(r"\s*<(?:!doctype|html|head|body|div|script|article)\b", text, re.IGNORECASE))


def looks_like_a_piece(text: str) -> bool:
    """Is the text a piece of a page: words between tags, no page around them?"""
    return bool(_FRAGMENT.match(text))


def words_of(markup: str) -> str:
    """The words of a piece of a page, one line for each block; what stands in scripts and styles is no word."""
    return "\n".join(
        _plain(
            re.sub(
                r"<(script|style)\b[^<>]{0,300}>.*?(?:</\1[^<>]{0,300}>|$)",
                " ",
                markup[:LONGEST_PIECE],
                flags=re.IGNORECASE | re.DOTALL,
            )
        )
    )


def sort_structured(text: str) -> Pasted | None:
    """The lines of the first Recipe in the JSON-LD; None if there is JSON but no Recipe. Raises ValueError when nothing is JSON."""
    blocks = [text] if _is_json(text) else list(_scripts(text))
    nodes: list[dict[str, object]] = []
    faults = 0
    for block in blocks:
        try:
            nodes.extend(_recipes(json.loads(_bare(block), strict=False)))
        except (ValueError, RecursionError):
            faults += 1
    if nodes:
        pasted = _sort_node(nodes[0])
        others = dict.fromkeys(" ".join(_plain(node.get("name"))) or "A recipe without a name" for node in nodes[1:])
        pasted.unread.extend(
            (name, "Another recipe in the same data. Paste it for its own dish.")
            for name in others
            if name != pasted.title
        )
        return pasted
    if faults and faults == len(blocks):
        raise ValueError("not JSON")
    return None


def duration_minutes(text: str) -> int | None:
    """Whole minutes of an ISO 8601 duration as recipes carry it; None for zero, which means unknown.

    Raises ValueError when it is none (`PT90`) or has years or months, whose length nobody knows.
    """
    found = _DURATION.fullmatch(text.strip())
    if not found or not any(found.groups()) or text.strip()[-1] in "tT":
        raise ValueError(text)
    years, months, weeks, days, hours, minutes, seconds = (
        Fraction((found[key] or "0").replace(",", ".")) for key in ("y", "mo", "w", "d", "h", "m", "s")
    )
    if years or months:
        raise ValueError(text)
    total = weeks * 10_080 + days * 1440 + hours * 60 + minutes + seconds / 60
    return int(total + Fraction(1, 2)) or None


def _scripts(text: str) -> Iterator[str]:
    """What stands in the page's scripts of recipe data; walks the text once, however broken it is."""
    place = 0
    while opened := _SCRIPT.search(text, place):
        closed = _SCRIPT_END.search(text, opened.end())
        if closed is None:
            return
        if "application/ld+json" in opened[0].lower():
            yield text[opened.end() : closed.start()]
        place = closed.end()


def _is_json(text: str) -> bool:
    return bool(re.match(r"\s*(?:\{|\[\s*\{)", text))


def _recipes(value: object, depth: int = 0) -> Iterator[dict[str, object]]:
    if depth > _DEEPEST:
        return
    if isinstance(value, list):
        for item in value:
            yield from _recipes(item, depth + 1)
    elif isinstance(value, dict):
        if "recipe" in [re.split(r"[/:#]", name.lower())[-1] for name in _types(value)]:
            yield value
            return
        for key in ("@graph", "mainEntity", "mainEntityOfPage", "itemListElement", "item"):
            yield from _recipes(value.get(key), depth + 1)


def _bare(block: str) -> str:
    """The JSON of a script, without the comment marks some pages wrap it in."""
    return re.sub(r"^\s*(?://\s*)?(?:<!\[CDATA\[|<!--)|(?://\s*)?(?:\]\]>|-->)\s*$", "", block).strip().rstrip(";")


def _types(node: dict[str, object]) -> list[str]:
    kind = node.get("@type", "")
    return [name for name in (kind if isinstance(kind, list) else [kind]) if isinstance(name, str)]


def _sort_node(node: dict[str, object]) -> Pasted:
    pasted = Pasted(title=" ".join(_plain(node.get("name"))), language=_language(node.get("inLanguage")))
    portions = node.get("recipeYield")
    _note_yields(node.get("yield") if portions in (None, "", []) else portions, pasted)
    for line in _ingredient_lines(node.get("recipeIngredient") or node.get("ingredients")):
        pasted.ingredients.append(("", line))
    _sort_instructions(node.get("recipeInstructions"), "", pasted)
    for key, name in _TIMES.items():
        _note_time(node.get(key), name, pasted)
    for key, name in _WORDS.items():
        if words := _plain(node.get(key)):
            pasted.headings.append(f"{name}: {', '.join(words)}")
    tools = _plain(node.get("tool"))
    if tools:
        pasted.notes.append(f"Tools: {', '.join(tools)}")
    return pasted


def _language(value: object) -> str:
    if isinstance(value, dict):
        value = value.get("alternateName") or value.get("name")
    words = _plain(value)
    return words[0] if words else ""


def _ingredient_lines(value: object) -> list[str]:
    """One line an ingredient; one given as an object is its quantity, its unit and its name."""
    if isinstance(value, list):
        return [line for item in value for line in _ingredient_lines(item)]
    if isinstance(value, dict) and not value.get("text"):
        how_much = value.get("requiredQuantity") or value.get("amount") or value
        parts = [how_much.get("value"), how_much.get("unitText")] if isinstance(how_much, dict) else [how_much]
        line = " ".join(word for part in (*parts, value.get("name")) for word in _plain(part))
        return [line] if line else []
    return _plain(value)


def _sort_instructions(value: object, section: str, pasted: Pasted, depth: int = 0) -> None:
    if not value:
        return
    if depth > _DEEPEST:
        pasted.unread.append((_shown(value), "The steps are nested too deep."))
    elif isinstance(value, str):
        for line in (piece for each in _plain(value) for piece in split_numbered(each)):
            pasted.steps.append((section, re.sub(r"^\(?\d{1,3}[.)](?!\d)\s*", "", line) or line))
    elif isinstance(value, list):
        for item in value:
            _sort_instructions(item, section, pasted, depth + 1)
    elif isinstance(value, dict):
        _sort_how_to(value, section, pasted, depth)
    else:
        pasted.unread.append((str(value), "Neither words nor a step."))


def _sort_how_to(node: dict[str, object], section: str, pasted: Pasted, depth: int) -> None:
    kinds = {name.rsplit("/", 1)[-1] for name in _types(node)}
    name, words, inner = (
        " ".join(_plain(node.get("name"))),
        _plain(node.get("text")),
        node.get("itemListElement") or node.get("steps") or node.get("item"),
    )
    if "HowToTip" in kinds:
        pasted.notes.extend(words or [name])
        pasted.headings.extend([name] if words and name else [])
    elif "HowToSection" in kinds or ("ItemList" in kinds and inner):
        if name:
            pasted.headings.append(name)
        if inner:
            pasted.notes.extend(words)
        _sort_instructions(inner or words, name or section, pasted, depth + 1)
    elif inner:
        pasted.notes.extend(words)
        pasted.headings.extend([name] if name else [])
        _sort_instructions(inner, section, pasted, depth + 1)
    elif words or name:
        pasted.steps.append((section, " ".join(words) or name))
        if words and name and name.rstrip(".") not in " ".join(words):
            pasted.headings.append(name)
    else:
        pasted.unread.append((_shown(node), "A step without words."))


def _note_yields(value: object, pasted: Pasted) -> None:
    """The first yield that holds a number; the others are kept beside it."""
    options = list(
        dict.fromkeys(line for item in (value if isinstance(value, list) else [value]) for line in _quantity(item))
    )
    numbered = [option for option in options if re.search(r"\d", option)]
    pasted.yields = (numbered or options or [""])[0]
    pasted.headings.extend(f"Yield: {option}" for option in options if option != pasted.yields)


def _quantity(value: object) -> list[str]:
    if isinstance(value, dict) and "value" in value:
        return [" ".join(word for part in (value["value"], value.get("unitText")) for word in _plain(part))]
    return _plain(value)


def _note_time(value: object, name: str, pasted: Pasted) -> None:
    texts = _plain(value)
    if not texts and isinstance(value, dict):
        texts = [_shown(value)]
    for text in texts:
        try:
            minutes = duration_minutes(text)
        except ValueError:
            pasted.unread.append(
                (f"{name}: {text}", "Not a length of time. PT90 alone names no unit; PT90M is 90 minutes.")
            )
            continue
        pasted.headings.append(f"{name}: {minutes} minutes" if minutes else f"{name}: not known ({text})")


def _clean(text: str) -> str:
    """Without the signs no file and no table can hold: NUL, and halves of a pair."""
    return re.sub(r"[\x00\ud800-\udfff]", " ", text)


def _shown(value: object) -> str:
    """Data nobody could read as words, as it was."""
    return _clean(json.dumps(value, ensure_ascii=False))[:500]


def _plain(value: object) -> list[str]:
    """Words without tags and entities, one line each; numbers become words, objects give their text or name."""
    if value is None or isinstance(value, bool):
        return []
    if isinstance(value, list):
        return [line for item in value for line in _plain(item)]
    if isinstance(value, dict):
        return _plain(value.get("text") or value.get("name"))
    text = _clean(str(value))
    for _ in range(2):
        text = re.sub(r"<\s*(?:br|/p|/li|/div|/h\d|/tr)[^<>]*>", "\n", html.unescape(text), flags=re.IGNORECASE)
        text = re.sub(r"<[a-zA-Z/!][^<>]*>", " ", text)
    lines = (re.sub(r"[^\S\n]+", " ", line).strip() for line in text.splitlines())
    return [line for line in lines if line]
