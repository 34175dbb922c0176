"""One line of an ingredient list: how much of what, prepared how."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from shoots.plan.steps import GLYPHS, NUMBER_WORDS, read_number

# Units as kitchens write them -> the spelling kept. Never converted here: a metric cup is 250 ml, a US customary cup 236.588 ml.
UNITS = {
    "g": "g", "gr": "g", "gm": "g", "gms": "g", "gram": "g", "grams": "g", "gramme": "g", "grammes": "g", "kg": "kg", "kilo": "kg", "kilos": "kg", "kilogram": "kg",
    "kilograms": "kg", "mg": "mg", "ml": "ml", "millilitre": "ml", "millilitres": "ml", "milliliter": "ml", "milliliters": "ml", "cl": "cl",
    "dl": "dl", "l": "l", "litre": "l", "litres": "l", "liter": "l", "liters": "l", "oz": "oz", "ounce": "oz", "ounces": "oz", "fl oz": "fl oz",
    "fluid ounce": "fl oz", "fluid ounces": "fl oz", "lb": "lb", "lbs": "lb", "pound": "lb", "pounds": "lb", "pint": "pint", "pints": "pint",
    "quart": "quart", "quarts": "quart", "gallon": "gallon", "gallons": "gallon", "cup": "cup", "cups": "cup", "tablespoon": "tbsp",
    "tablespoons": "tbsp", "tbsp": "tbsp", "tbsps": "tbsp", "tbs": "tbsp", "tbl": "tbsp", "teaspoon": "tsp", "teaspoons": "tsp", "tsp": "tsp",
    "tsps": "tsp", "dessertspoon": "dessertspoon", "dessertspoons": "dessertspoon", "pinch": "pinch", "pinches": "pinch", "dash": "dash",
    "dashes": "dash", "drop": "drop", "drops": "drop", "handful": "handful", "handfuls": "handful", "bunch": "bunch", "bunches": "bunch",
    "clove": "clove", "cloves": "clove", "slice": "slice", "slices": "slice", "stick": "stick", "sticks": "stick", "can": "can", "cans": "can",
    "tin": "tin", "tins": "tin", "jar": "jar", "jars": "jar", "packet": "packet", "packets": "packet", "package": "packet", "packages": "packet",
    "sprig": "sprig", "sprigs": "sprig", "stalk": "stalk", "stalks": "stalk", "leaf": "leaf", "leaves": "leaf", "head": "head", "heads": "head",
    "piece": "piece", "pieces": "piece", "sheet": "sheet", "sheets": "sheet", "knob": "knob", "knobs": "knob", "splash": "splash",
    "rasher": "rasher", "rashers": "rasher", "bottle": "bottle", "bottles": "bottle", "block": "block", "blocks": "block", "pod": "pod", "pods": "pod",
    "strip": "strip", "strips": "strip", "part": "part", "parts": "part", "cm": "cm", "inch": "inch", "inches": "inch", "c": "c", "t": "t",
}  # fmt: skip
SIZE_WORDS = (
    "small",
    "medium",
    "medium-sized",
    "large",
    "big",
    "extra-large",
    "heaped",
    "heaping",
    "level",
    "scant",
    "generous",
    "rounded",
    "good",
)
_ASK = {
    "c": "“{0}” may mean cup. Ask the cook.",
    "T": "“T” usually means tablespoon, “t” teaspoon. Ask the cook.",
    "t": "“t” usually means teaspoon, “T” tablespoon. Ask the cook.",
}

_WORD = "|".join(sorted(NUMBER_WORDS, key=len, reverse=True))
_GLYPH = "".join(GLYPHS)
_NUMBER = rf"(?:\d+(?:\s+and)?\s+\d+\s?[/⁄]\s?\d+|\d+\s?[/⁄]\s?\d+|\d+(?:[.,]\d+)?\s?[{_GLYPH}]?|[{_GLYPH}]|half an?|(?:(?:{_WORD})(?: and a half)?(?![\w-])))"
_BULLET = re.compile(r"^\s*(?:[-*•·–—‣◦▢□]+|\(?\d{1,3}[.)](?!\d))\s+")
_HOW_MUCH = re.compile(
    rf"^(?:(?:about|around|approximately|approx\.?|circa|ca\.?|some)\s+)?(?P<a>half a dozen|a dozen|{_NUMBER}(?: dozen)?)"
    rf"(?:\s?(?:-|–|—|to\b|or\b)\s?(?P<b>{_NUMBER}))?(?:\s?[x×]\s?(?P<times>{_NUMBER}))?",
    re.IGNORECASE,
)
_VAGUE = re.compile(r"^(?:(?:a|an)\s+(?:few|little|bit|lot|couple)\b|\d+(?:[.,]\d+){2,})", re.IGNORECASE)
_SECOND_MEASURE = re.compile(
    rf"^\s*/\s*({_NUMBER}\s?(?:{'|'.join(sorted((re.escape(u) for u in UNITS), key=len, reverse=True))})\.?(?:\s\d+\s?oz)?)(?=\s)",
    re.IGNORECASE,
)
_OF_FRUIT = re.compile(
    rf"^(?P<what>(?:finely\s|grated\s)?(?:juice|zest|rind|peel|leaves|seeds|flesh)(?:\s(?:and|&)\s(?:juice|zest|rind))?)\s(?:of|from)\s(?P<a>{_NUMBER})\s(?P<name>[^\W\d].*)$",
    re.IGNORECASE,
)
_ONE_OF = re.compile(
    r"^(?:good |generous |large |small |big )?(pinch|dash|handful|bunch|knob|splash|drop|sprig|slice|clove) of ",
    re.IGNORECASE,
)
_PURPOSE = re.compile(
    r"\s((?:to taste|to serve|to garnish|to finish|as needed|if needed|for (?:frying|serving|dusting|greasing|garnish|brushing|the (?:pan|tin|board))).*)$",
    re.IGNORECASE,
)
_PLUS = re.compile(
    rf"^\s*(?:plus|\+|and)\s+({_NUMBER}\s?(?:{'|'.join(sorted((re.escape(u) for u in UNITS), key=len, reverse=True))})\.?)(?=\s)",
    re.IGNORECASE,
)
_LAST_BARE = re.compile(
    rf"^(?P<name>[^\d:,{_GLYPH}]+?)\s(?P<a>{_NUMBER})()\s?(?P<unit>[^\W\d]+\.?)(?P<tail>)$", re.IGNORECASE
)
_LAST = re.compile(
    rf"^(?P<name>[^\d:{_GLYPH}]+?)\s*(?::|–|—|\s-)\s*(?P<a>{_NUMBER})(?:\s?(?:-|–|to|or)\s?(?P<b>{_NUMBER}))?\s?(?P<unit>[^\W\d]+\.?)?\s*(?P<tail>,.*|\(.*)?$",
    re.IGNORECASE,
)
_UNIT = re.compile(
    rf"^\s?(?P<unit>(?i:{'|'.join(sorted((re.escape(u) for u in UNITS), key=len, reverse=True))}))\.?(?=$|[\s,(/])",
)


@dataclass(frozen=True, slots=True)
class Ingredient:
    """An ingredient as written (`text`), and what was read from it. No quantity: none was named, or none could be read."""

    text: str
    name: str
    quantity: Decimal | None = None
    quantity_to: Decimal | None = None
    unit: str = ""
    preparation: str = ""
    note: str = ""
    section: str = ""
    doubt: str = ""


def without_bullet(line: str) -> str:
    """The line without a leading bullet or list number."""
    return _BULLET.sub("", line).strip()


def starts_with_quantity(line: str) -> bool:
    """Does the line begin the way an ingredient with a quantity does?"""
    found = _HOW_MUCH.match(without_bullet(line))
    return bool(found) and found is not None and found["a"].lower() not in ("a", "an", "one")


def read_ingredient(text: str, section: str = "") -> Ingredient:
    """Reads `[about] NUMBER [-NUMBER] [size] [unit] [of] name [, preparation] [(note)]`, or the quantity last (`butter: 150 g`).

    Quantities are Decimals of four places; units keep the kitchen's own measure and are never converted.
    """
    line = re.sub(r"\s+", " ", without_bullet(text))
    line, note = _take_note(line)
    if _ONE_OF.match(line):
        line = f"1 {line}"
    found = None if _VAGUE.match(line) else _HOW_MUCH.match(line)
    if not found:
        if fruit := _OF_FRUIT.match(line):
            low, high, doubt = _amounts(fruit["a"], None)
            name, preparation = _split_name(fruit["name"])
            what = ", ".join(part for part in (fruit["what"].lower(), preparation) if part)
            return Ingredient(text.strip(), name, low, high, "", what, note, section, doubt)
        if last := _LAST.match(line) or _LAST_BARE.match(line):
            unit = UNITS.get((last["unit"] or "").lower().rstrip("."), "")
            if unit or (not last["unit"] and last.re is _LAST):
                tail = (last["tail"] or "").strip(" ,()")
                low, high, doubt = _amounts(last["a"], last["b"] if last.re is _LAST else None)
                return Ingredient(text.strip(), last["name"].strip(), low, high, unit, tail, note, section, doubt)
        name, preparation = _split_name(line)
        if in_brackets := _only_a_quantity(note):
            low, high, unit, doubt = in_brackets
            return Ingredient(text.strip(), name, low, high, unit, preparation, "", section, doubt)
        doubt = "A number is in the line, but not where a quantity stands." if re.search(r"\d", line) else ""
        return Ingredient(text.strip(), name, None, None, "", preparation, note, section, doubt)
    low, high, doubt = _amounts(found["a"], found["b"])
    rest = line[found.end() :]
    if found["times"] and low is not None:
        doubt = f"{found['times'].strip()} was taken as the size of one piece, {low:f} as how many."
        rest = f" {found['times']}{rest}"
    unit, rest, unit_doubt = _take_unit(rest)
    if not rest.strip():
        rest, unit = (unit or found["a"]), ""
    while second := _SECOND_MEASURE.match(rest):
        note, rest = "; ".join(part for part in (note, second[1]) if part), rest[second.end() :]
    if more := _PLUS.match(rest):
        note, rest = "; ".join(part for part in (f"plus {more[1]}", note) if part), rest[more.end() :]
        unit_doubt = unit_doubt or f"Only the first quantity was taken; “{more[1]}” comes on top of it."
    name, preparation = _split_name(re.sub(r"^\s*of\s+", "", rest, flags=re.IGNORECASE).strip())
    return Ingredient(text.strip(), name, low, high, unit, preparation, note, section, doubt or unit_doubt)


def _only_a_quantity(note: str) -> tuple[Decimal | None, Decimal | None, str, str] | None:
    """What a bracket holds that is nothing but a quantity: `Garlic (4-8 large cloves)`."""
    found = _HOW_MUCH.match(note)
    if not found or found["times"] or found["a"].lower() in ("a", "an"):
        return None
    unit, rest, unit_doubt = _take_unit(note[found.end() :])
    if rest.strip():
        return None
    low, high, doubt = _amounts(found["a"], found["b"])
    return low, high, unit, doubt or unit_doubt


def _take_note(line: str) -> tuple[str, str]:
    notes = [part.strip() for part in re.findall(r"\(([^()]*)\)", line)]
    return re.sub(r"\s+", " ", re.sub(r"\([^()]*\)", " ", line)).strip(" ,"), "; ".join(part for part in notes if part)


def _amounts(first: str, second: str | None) -> tuple[Decimal | None, Decimal | None, str]:
    low, high = _amount(first), _amount(second) if second else None
    if low is None:
        return None, None, "The quantity could not be read."
    if low == 0 and not high:
        return None, None, "The quantity is nothing."
    if high is not None and high < low:
        return high, low, "The quantity runs backwards and was turned round."
    return low, high, _thousands(first) or _thousands(second or "")


def _thousands(text: str) -> str:
    """The doubt that three digits after a comma or a point leave: a thousand here, one and nothing there."""
    found = re.fullmatch(r"\d{1,3}([.,])\d{3}", text.strip())
    if not found:
        return ""
    return (
        f"“{text.strip()}” was read as {'a thousand' if found[1] == ',' else 'a decimal'}. Look whether that is meant."
    )


def _amount(text: str) -> Decimal | None:
    text = re.sub(r"\s+", " ", text.strip().lower())
    dozen = text.endswith("dozen")
    if _thousands(text):
        text = text.replace(",", "")
    number = read_number(text.removesuffix("dozen").strip() or "1")
    if number is None:
        return None
    return _four_places(number * 12 if dozen else number)


def _four_places(number: Fraction) -> Decimal:
    return Decimal(round(number * 10_000)).scaleb(-4).normalize() + 0


def _take_unit(rest: str) -> tuple[str, str, str]:
    size = re.match(rf"^\s*((?:(?:{'|'.join(SIZE_WORDS)})\s+)+)", rest, re.IGNORECASE)
    after = rest[size.end() :] if size else rest
    found = _UNIT.match(after)
    if not found:
        return "", rest, ""
    written = found["unit"]
    doubt = _ASK.get(written if written in ("T", "t") else written.lower(), "").format(written)
    unit = written if written in ("T", "t", "c", "C") else UNITS[written.lower()]
    return unit, after[found.end() :], doubt


def _split_name(text: str) -> tuple[str, str]:
    name, _, preparation = text.partition(",")
    if (purpose := _PURPOSE.search(name)) and purpose.start():
        preparation = ", ".join(part for part in (purpose[1], preparation.strip()) if part)
        name = name[: purpose.start()]
    return name.strip(" .;"), preparation.strip()
