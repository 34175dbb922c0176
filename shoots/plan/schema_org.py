"""A recipe given as schema.org/Recipe in JSON-LD, alone or inside the source of a page.

Source: schema.org/Recipe, schema.org/recipeInstructions, schema.org/HowToStep, schema.org/HowToSection.
"""

from __future__ import annotations

import html
import json
import re
from collections.abc import Iterator
from fractions import Fraction

from shoots.plan.plain_text import Pasted

_SCRIPT = re.compile(r"<script\b[^<>]{0,300}>", re.IGNORECASE)
_SCRIPT_END = re.compile(r"</script", re.IGNORECASE)
_DURATION = re.compile(
    r"^P(?:(?P<d>\d+(?:\.\d+)?)D)?(?:T(?:(?P<h>\d+(?:\.\d+)?)H)?(?:(?P<m>\d+(?:\.\d+)?)M)?(?:(?P<s>\d+(?:\.\d+)?)S)?)?$",
    re.IGNORECASE,
)
_TIMES = {"prepTime": "Preparation", "cookTime": "Cooking", "performTime": "Work", "totalTime": "In all"}
_DEEPEST = 12


def looks_structured(text: str) -> bool:
    """Is the text JSON, or a page with JSON-LD in it?"""
    return _is_json(text) or any(True for _ in _scripts(text))


def looks_like_a_page(text: str) -> bool:
    """Is the text the HTML source of a page?"""
    return bool(re.match(r"\s*<(?:!doctype|html|head|body|div|script|article)\b", text, re.IGNORECASE))


def sort_structured(text: str) -> Pasted | None:
    """The lines of the first Recipe in the JSON-LD; None if there is JSON but no Recipe. Raises ValueError when nothing is JSON."""
    blocks = [text] if _is_json(text) else list(_scripts(text))
    node: dict[str, object] | None = None
    faults = 0
    for block in blocks:
        try:
            node = next(_recipes(json.loads(block.strip().rstrip(";"), strict=False)), None)
        except (ValueError, RecursionError):
            faults += 1
        if node is not None:
            return _sort_node(node)
    if faults and faults == len(blocks):
        raise ValueError("not JSON")
    return None


def duration_minutes(text: str) -> int | None:
    """Whole minutes of an ISO 8601 duration as recipes carry it; None for zero, which means unknown. Raises ValueError when it is none (`PT90`)."""
    found = _DURATION.match(text.strip())
    if not found or not any(found.groups()):
        raise ValueError(text)
    days, hours, minutes, seconds = (Fraction(found[key] or 0) for key in "dhms")
    total = days * 1440 + hours * 60 + minutes + seconds / 60
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
        if "recipe" in [name.lower().rsplit("/", 1)[-1] for name in _types(value)]:
            yield value
        for key in ("@graph", "mainEntity", "mainEntityOfPage", "itemListElement", "item"):
            yield from _recipes(value.get(key), depth + 1)


def _types(node: dict[str, object]) -> list[str]:
    kind = node.get("@type", "")
    return [name for name in (kind if isinstance(kind, list) else [kind]) if isinstance(name, str)]


def _sort_node(node: dict[str, object]) -> Pasted:
    pasted = Pasted(
        title=" ".join(_plain(node.get("name"))), yields=_yields(node.get("recipeYield") or node.get("yield"))
    )
    for line in _plain(node.get("recipeIngredient") or node.get("ingredients")):
        pasted.ingredients.append(("", line))
    _sort_instructions(node.get("recipeInstructions"), "", pasted)
    for key, name in _TIMES.items():
        _note_time(node.get(key), name, pasted)
    tools = _plain(node.get("tool"))
    if tools:
        pasted.notes.append(f"Tools: {', '.join(tools)}")
    return pasted


def _sort_instructions(value: object, section: str, pasted: Pasted, depth: int = 0) -> None:
    if not value:
        return
    if depth > _DEEPEST:
        pasted.unread.append((json.dumps(value)[:500], "The steps are nested too deep."))
    elif isinstance(value, str):
        for line in _plain(value):
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
        node.get("itemListElement") or node.get("steps"),
    )
    if "HowToTip" in kinds:
        pasted.notes.extend(words or [name])
    elif "HowToSection" in kinds or ("ItemList" in kinds and inner):
        if name:
            pasted.headings.append(name)
        _sort_instructions(inner or words, name or section, pasted, depth + 1)
    elif inner:
        if words:
            pasted.notes.extend(words)
        elif name:
            pasted.headings.append(name)
        _sort_instructions(inner, section, pasted, depth + 1)
    elif words or name:
        pasted.steps.append((section, " ".join(words) or name))
        if words and name and name.rstrip(".") not in " ".join(words):
            pasted.headings.append(name)
    else:
        pasted.unread.append((json.dumps(node, ensure_ascii=False)[:500], "A step without words."))


def _yields(value: object) -> str:
    options = _plain(value)
    numbered = [option for option in options if re.search(r"\d", option)]
    return (numbered or options or [""])[0]


def _note_time(value: object, name: str, pasted: Pasted) -> None:
    for text in _plain(value):
        try:
            minutes = duration_minutes(text)
        except ValueError:
            pasted.unread.append(
                (f"{name}: {text}", "Not a length of time. PT90 alone names no unit; PT90M is 90 minutes.")
            )
            continue
        pasted.headings.append(f"{name}: {minutes} minutes" if minutes else f"{name}: not known ({text})")


def _plain(value: object) -> list[str]:
    """Words without tags and entities, one line each; numbers become words, objects give their text or name."""
    if value is None or isinstance(value, bool):
        return []
    if isinstance(value, list):
        return [line for item in value for line in _plain(item)]
    if isinstance(value, dict):
        return _plain(value.get("text") or value.get("name"))
    text = str(value)
    for _ in range(2):
        text = re.sub(r"<\s*(?:br|/p|/li|/div|/h\d)[^>]*>", "\n", html.unescape(text), flags=re.IGNORECASE)
        text = re.sub(r"<[a-zA-Z/!][^<>]*>", " ", text)
    lines = (re.sub(r"[^\S\n]+", " ", line).strip() for line in text.splitlines())
    return [line for line in lines if line]
