"""Units as kitchens write them: which can be added, how one is written, and how names are compared."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from decimal import Decimal
from fractions import Fraction

# Units of one kind, each as a whole number of the smallest. Exact by definition: g and kg, ml and l by the SI prefixes; 16 oz are
# 1 lb, and a fluid ounce is not an ounce. A tablespoon of three teaspoons is that of US labels, 15 ml and 5 ml (21 CFR 101.9(b)(5),
# from memory); an Australian tablespoon holds four. Cups, pints and spoons of other sizes are added to their own kind only.
KINDS: tuple[dict[str, int], ...] = (
    {"mg": 1, "g": 1_000, "kg": 1_000_000},
    {"ml": 1, "cl": 10, "dl": 100, "l": 1_000},
    {"oz": 1, "lb": 16},
    {"tsp": 1, "tbsp": 3},
)
SHORT = frozenset(
    {"mg", "g", "kg", "ml", "cl", "dl", "l", "oz", "fl oz", "lb", "tsp", "tbsp", "cm", "c", "C", "t", "T", ""}
)
FINE = frozenset({"mg", "g", "ml"})  # a figure of ten or more is whole: nobody weighs out half a gram of flour
_IRREGULAR = {"leaf": "leaves", "loaf": "loaves", "half": "halves", "knife": "knives"}
_SINGULAR = {plural: one for one, plural in _IRREGULAR.items()}
_SAME_IN_BOTH = frozenset({"couscous", "asparagus", "hummus", "molasses", "swiss", "lemongrass", "watercress", "cress"})


COUNTED = frozenset({"", "slice", "piece", "sheet", "leaf", "clove", "can", "tin", "jar", "packet", "stick", "sprig", "head", "stalk", "rasher", "pod"})  # fmt: skip
SOLD_WHOLE = COUNTED | {"bunch", "bottle", "block"}


def is_countable(unit: str) -> bool:
    """Is it counted in pieces (2 eggs, 3 slices) and not measured?"""
    return unit in COUNTED


def is_sold_whole(unit: str) -> bool:
    """Does nobody sell a part of one: a piece, or a bunch that is eaten in parts?"""
    return unit in SOLD_WHOLE


def kind_of(unit: str) -> str:
    """What a unit can be added to: the smallest unit of its kind, or itself."""
    return next((min(kind, key=lambda each: kind[each]) for kind in KINDS if unit in kind), unit)


def add_up(quantities: Iterable[tuple[Fraction, str]]) -> tuple[Fraction, str]:
    """The sum of quantities of one kind and its unit: the one they share, or the largest of them the sum reaches once.

    Raises ValueError when they are not of one kind, or when there are none.
    """
    quantities = list(quantities)
    units = list(dict.fromkeys(unit for _, unit in quantities))
    if len({kind_of(unit) for unit in units}) != 1:
        raise ValueError(f"{', '.join(units) or 'nothing'} cannot be added up")
    if len(units) == 1:
        return sum((quantity for quantity, _ in quantities), Fraction(0)), units[0]
    sizes = next(kind for kind in KINDS if units[0] in kind)
    smallest = sum((quantity * sizes[unit] for quantity, unit in quantities), Fraction(0))
    fitting = [unit for unit in units if smallest >= sizes[unit]]
    unit = max(fitting, key=lambda each: sizes[each]) if fitting else min(units, key=lambda each: sizes[each])
    return smallest / sizes[unit], unit


def rounded(quantity: Fraction, unit: str) -> Decimal:
    """The figure that is shown: half up, whole grams and millilitres from ten on, else two decimals. The only rounding of a quantity."""
    places = 0 if unit in FINE and quantity >= 10 else 2
    figure = Decimal(math.floor(quantity * 10**places + Fraction(1, 2))).scaleb(-places)
    return figure.quantize(Decimal(1)) if figure == figure.to_integral_value() else figure.normalize()


def convert(quantity: Fraction, unit: str, to: str) -> Fraction:
    """A quantity in another unit of its kind. Raises ValueError where the two are of different kinds."""
    if unit == to:
        return quantity
    sizes = next((kind for kind in KINDS if unit in kind and to in kind), None)
    if sizes is None:
        raise ValueError(f"{unit or 'pieces'} cannot be told in {to or 'pieces'}")
    return quantity * sizes[unit] / sizes[to]


def unit_word(unit: str, quantity: Fraction) -> str:
    """The unit as it stands behind a quantity: ml, clove, cloves, leaves."""
    if unit in SHORT or quantity <= 1:
        return unit
    if unit in _IRREGULAR:
        return _IRREGULAR[unit]
    return f"{unit}es" if unit.endswith(("ch", "sh", "x", "s")) else f"{unit}s"


def name_key(name: str) -> str:
    """A name for comparing: small letters, single spaces, its last word in the singular. *Red onions* is *red onion*."""
    words = re.sub(r"\s+", " ", name.casefold().strip(" .,;*")).split(" ")
    return " ".join([*words[:-1], singular(words[-1])])


def singular(word: str) -> str:
    """One of a thing named in the plural, by the usual rules of English: leaves, tomatoes, berries, eggs."""
    if word in _SINGULAR:
        return _SINGULAR[word]
    if word in _SAME_IN_BOTH or len(word) < 4 or word.endswith(("ss", "us", "is")):
        return word
    if word.endswith("ies") and len(word) > 4:
        return f"{word[:-3]}y"
    if word.endswith(("oes", "ches", "shes", "xes", "sses")):
        return word[:-2]
    return word.removesuffix("s")
