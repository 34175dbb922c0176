"""The usage-fee card: what each class, medium, territory, month, copy and picture weighs; and whether a card is fair.

Factors are exact fractions made from decimal strings. The trees on the card carry the prices of the codes of ``shoots.uses``.
The rules of a fair card (no two short licences cheaper than a long one, no cheaper part than the whole): common practice, no source.
"""

import re
from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise
from math import floor

from shoots.uses.trees import InvalidTree, Node, Tree, Trees

NOTHING: frozenset[str] = frozenset()
FIGURE = re.compile(r"-?[0-9]{1,60}(\.[0-9]{1,60}|/[0-9]{1,60})?")


class InvalidCard(ValueError):
    """A card that cannot price anything. ``path`` names the faulty value."""

    def __init__(self, path: str, sentence: str) -> None:
        self.path, self.sentence = path, sentence
        super().__init__(f"{path}: {sentence}" if path else sentence)


@dataclass(frozen=True, slots=True)
class Priced:
    """One code of a tree with its factor."""

    code: str
    parent: str | None
    factor: Fraction
    exhaustive: bool = False
    counted: bool = False


class PriceTree:
    """The codes of a tree with their factors. Raises InvalidCard when they make no tree."""

    def __init__(self, name: str, nodes: Collection[Priced]) -> None:
        self.name = name
        self.nodes = {node.code: node for node in nodes}
        self.roots = tuple(node.code for node in self.nodes.values() if node.parent is None)
        self.covers: dict[int, tuple[Fraction, tuple[str, ...], bool]] = {}  # of the fees, by leaves wanted
        try:
            self.tree = Tree(
                [Node(node.code, node.parent, exhaustive=node.exhaustive, counted=node.counted) for node in nodes],
                version=name,
            )
        except InvalidTree as error:
            raise InvalidCard(f"{name}.{error.code}", str(error)) from error

    def __eq__(self, other: object) -> bool:
        return isinstance(other, PriceTree) and (self.name, list(self.nodes.values())) == (
            other.name,
            list(other.nodes.values()),
        )

    def __hash__(self) -> int:
        return hash((self.name, tuple(self.nodes.values())))

    def factor(self, code: str) -> Fraction:
        return self.nodes[code].factor


@dataclass(frozen=True, slots=True)
class Card:
    """A whole card. ``term`` is (months, factor) in rising months; bands are (up to, factor), the last up to None: without limit."""

    base: Fraction
    minimum: Fraction
    step: Fraction
    handling: Fraction
    term: tuple[tuple[int, Fraction], ...]
    term_perpetual: Fraction
    exclusivity: Mapping[str, Fraction]
    picture_bands: tuple[tuple[int | None, Fraction], ...]
    copy_bands: tuple[tuple[int | None, Fraction], ...]
    classes: PriceTree
    media: PriceTree
    territories: PriceTree


@dataclass(frozen=True, slots=True)
class Remark:
    """What is wrong (an error: the card is not saved) or odd (a warning) about a card, and where.

    ``at`` is the point or band it is about: the months of a term, the limit of a band; None where it is about the whole of ``path``.
    """

    path: str
    sentence: str
    at: int | None = None


@dataclass(frozen=True, slots=True)
class CardCheck:
    """The outcome of looking at a card. A card with errors is not saved."""

    errors: tuple[Remark, ...]
    warnings: tuple[Remark, ...]

    @property
    def is_fair(self) -> bool:
        return not self.errors


def check_card(card: Card, *, media: Collection[str] = NOTHING, territories: Collection[str] = NOTHING) -> CardCheck:
    """Everything wrong and odd about a card. ``media`` and ``territories`` are codes the card must have, those of the trees in use."""
    errors = [*_figure_errors(card), *_term_errors(card), *_band_errors(card)]
    warnings = []
    for tree, wanted in ((card.classes, NOTHING), (card.media, media), (card.territories, territories)):
        errors += [
            Remark(f"{tree.name}.{code}", "This code is in use and has no factor.")
            for code in sorted(set(wanted) - set(tree.nodes))
        ]
        errors += [
            Remark(f"{tree.name}.{node.code}", "A factor is above 0.")
            for node in tree.nodes.values()
            if node.factor <= 0
        ]
        warnings += _tree_warnings(tree)
    return CardCheck(tuple(errors), tuple(warnings))


def with_own_codes(card: Card, trees: Trees) -> Card:
    """The card with every code of the trees: one it misses costs what the code above it costs. The same card where it misses none.

    ``check_card`` goes on asking for the codes the program ships; a card is never refused for what a studio added later.
    """
    media, territories = _with_codes(card.media, trees.media), _with_codes(card.territories, trees.territories)
    if media is card.media and territories is card.territories:
        return card
    return replace(card, media=media, territories=territories)


def _with_codes(prices: PriceTree, tree: Tree) -> PriceTree:
    found = dict(prices.nodes)
    missing = [node for node in tree.nodes.values() if node.code not in found]
    for node in missing:  # a tree names each code after the one above it
        above = found.get(node.parent or "")
        if above is not None:
            found[node.code] = Priced(node.code, above.code, above.factor, counted=node.counted or above.counted)
    return PriceTree(prices.name, list(found.values())) if len(found) > len(prices.nodes) else prices


def _figure_errors(card: Card) -> list[Remark]:
    errors = [
        Remark(name, "Enter a figure above 0.") for name in ("base", "minimum", "step") if getattr(card, name) <= 0
    ]
    if card.handling < 0:
        errors.append(Remark("handling", "Enter 0 or more."))
    if card.step > 0 and card.minimum % card.step:
        errors.append(Remark("minimum", "The minimum must be a multiple of the step, or fees would jump past it."))
    if set(card.exclusivity) != {"none", "trade", "picture"}:
        errors.append(Remark("exclusivity", "Enter a factor for none, for trade and for picture."))
    elif not 1 == card.exclusivity["none"] <= card.exclusivity["trade"] <= card.exclusivity["picture"]:
        errors.append(
            Remark("exclusivity", "None is 1, trade is at least 1, and picture is at least as much as trade.")
        )
    return errors


def _term_errors(card: Card) -> list[Remark]:
    points = card.term
    if not points or points[0][0] != 0:
        return [Remark("term", "The first point of the term is 0 months.")]
    if any(later <= earlier for (earlier, _), (later, _) in pairwise(points)):
        return [Remark("term", "Each point has more months than the one before.")]
    errors = [Remark("term", "A factor is above 0.", months) for months, factor in points if factor <= 0]
    errors += [
        Remark("term", f"A longer term cannot weigh less than a shorter one: {earlier} months weigh more.", later)
        for (earlier, before), (later, after) in pairwise(points)
        if after < before
    ]
    if not errors:
        errors += _undercut_terms(points)
    if card.term_perpetual < points[-1][1]:
        errors.append(Remark("term_perpetual", "Use without end cannot weigh less than the longest term."))
    return errors


def _undercut_terms(points: tuple[tuple[int, Fraction], ...]) -> list[Remark]:
    """Points that add more a month than the months before them did: two short licences would cost less than the long one."""
    errors = []
    for (first, start), (earlier, before), (later, after) in zip(points, points[1:], points[2:], strict=False):
        most = before + (before - start) / (earlier - first) * (later - earlier)
        if after > most:
            sentence = (
                f"Enter at most {_cut(most)} here, or raise the factor at {earlier} months: "
                "otherwise two short licences would undercut a long one."
            )
            errors.append(Remark("term", sentence, later))
    return errors


def _band_errors(card: Card) -> list[Remark]:
    errors = []
    for name, bands in (("picture_bands", card.picture_bands), ("copy_bands", card.copy_bands)):
        limits = [limit for limit, _ in bands]
        numbers = [limit for limit in limits if limit is not None]
        if (
            not bands
            or limits[-1] is not None
            or None in limits[:-1]
            or any(a >= b for a, b in zip([0, *numbers], numbers, strict=False))
        ):
            errors.append(Remark(name, "Bands rise, and the last one has no limit."))
        if any(factor <= 0 for _, factor in bands):
            errors.append(Remark(name, "A factor is above 0."))
    if errors:
        return errors
    for (_, earlier), (limit, later) in pairwise(card.picture_bands):
        if later > earlier:
            errors.append(
                Remark("picture_bands", "A further picture cannot weigh more than the ones before it.", limit)
            )
    for (_, earlier), (limit, later) in pairwise(card.copy_bands):
        if later < earlier:
            errors.append(Remark("copy_bands", "More copies cannot weigh less than fewer.", limit))
    limits_of_copies = [limit for limit, _ in card.copy_bands if limit is not None]
    for index, one in enumerate(limits_of_copies):
        for other in limits_of_copies[index:]:
            if band_factor(card.copy_bands, one + other) > band_factor(card.copy_bands, one) + band_factor(
                card.copy_bands, other
            ):
                errors.append(
                    Remark(
                        "copy_bands",
                        f"{one:,} and {other:,} copies licensed apart would cost less than {one + other:,} together.",
                        _band_of(card.copy_bands, one + other),
                    )
                )
    return errors


def _tree_warnings(tree: PriceTree) -> list[Remark]:
    warnings = []
    for node in tree.nodes.values():
        if node.parent is not None and node.factor > tree.factor(node.parent):
            warnings.append(
                Remark(
                    f"{tree.name}.{node.code}", "Dearer than the wider one it belongs to, so this factor is never used."
                )
            )
        children = tree.tree.children(node.code)
        if node.exhaustive and children and node.factor > sum(tree.factor(child) for child in children):
            warnings.append(
                Remark(f"{tree.name}.{node.code}", "Dearer than all its parts together, so this factor is never used.")
            )
    return warnings


def band_factor(bands: tuple[tuple[int | None, Fraction], ...], count: int | None) -> Fraction:
    """The factor of the first band large enough; None counts without limit."""
    for limit, factor in bands:
        if limit is None or (count is not None and count <= limit):
            return factor
    raise InvalidCard("copy_bands", "The last band has no limit.")


def _band_of(bands: tuple[tuple[int | None, Fraction], ...], count: int) -> int | None:
    return next(limit for limit, _ in bands if limit is None or count <= limit)


def _cut(value: Fraction) -> str:
    """A limit as a person types it: cut down to four decimals, so that it still fits."""
    return written(Fraction(floor(value * 10_000), 10_000))


FIGURES = ("base", "minimum", "step", "handling", "term_perpetual")


def card_data(card: Card) -> dict[str, object]:
    """The card as plain data for a JSON column: factors as decimal strings. ``read_card`` is its mirror."""
    return {
        **{name: written(getattr(card, name)) for name in FIGURES},
        "term": [[months, written(factor)] for months, factor in card.term],
        "exclusivity": {kind: written(factor) for kind, factor in card.exclusivity.items()},
        "picture_bands": [[limit, written(factor)] for limit, factor in card.picture_bands],
        "copy_bands": [[limit, written(factor)] for limit, factor in card.copy_bands],
        **{
            tree.name: {
                node.code: {
                    "parent": node.parent,
                    "factor": written(node.factor),
                    "exhaustive": node.exhaustive,
                    "counted": node.counted,
                }
                for node in tree.nodes.values()
            }
            for tree in (card.classes, card.media, card.territories)
        },
    }


def read_card(given: object) -> Card:
    """A card from plain data. Unknown names, wrong types and floats are refused by InvalidCard with the path of the faulty value."""
    names = {*FIGURES, "term", "exclusivity", "picture_bands", "copy_bands", "classes", "media", "territories"}
    card = _names(given, "card", names)
    return Card(
        **{name: _factor(card[name], f"card.{name}") for name in FIGURES},
        term=tuple(
            (_whole(months, f"card.term[{place}]"), factor)
            for place, (months, factor) in enumerate(_pairs(card["term"], "card.term"))
        ),
        exclusivity={
            kind: _factor(factor, f"card.exclusivity.{kind}")
            for kind, factor in _names(card["exclusivity"], "card.exclusivity", {"none", "trade", "picture"}).items()
        },
        picture_bands=_bands(card["picture_bands"], "card.picture_bands"),
        copy_bands=_bands(card["copy_bands"], "card.copy_bands"),
        classes=_tree(card["classes"], "classes"),
        media=_tree(card["media"], "media"),
        territories=_tree(card["territories"], "territories"),
    )


def written(value: Fraction) -> str:
    """An exact figure as text: a decimal when it ends, else numerator/denominator."""
    rest, places = value.denominator, 0
    for prime in (2, 5):
        while rest % prime == 0:
            rest //= prime
            places += 1
    if rest != 1:
        return f"{value.numerator}/{value.denominator}"
    digits = f"{abs(value.numerator) * 10**places // value.denominator:0{places + 1}d}"
    text = (
        f"{digits[: len(digits) - places]}.{digits[len(digits) - places :]}".rstrip("0").rstrip(".")
        if places
        else digits
    )
    return f"-{text}" if value < 0 else text


def _names(given: object, path: str, names: Collection[str]) -> Mapping[str, object]:
    if not isinstance(given, Mapping):
        raise InvalidCard(path, "This is a group of named values.")
    for name in given:
        if name not in names:
            raise InvalidCard(f"{path}.{name}", "This name is not known here.")
    for name in sorted(names):
        if name not in given:
            raise InvalidCard(f"{path}.{name}", "This value is missing.")
    return given


def _factor(given: object, path: str) -> Fraction:
    if not isinstance(given, str):
        raise InvalidCard(path, "Write figures as text, for example “1.2”.")
    # No exponents: “1e999999999” is a short text and a figure that fills the machine.
    if not FIGURE.fullmatch(given):
        raise InvalidCard(path, f"“{given[:40]}” is not a figure.")
    try:
        return Fraction(given)
    except ZeroDivisionError:
        raise InvalidCard(path, f"“{given[:40]}” is not a figure.") from None


def _whole(given: object, path: str) -> int:
    if not isinstance(given, int) or isinstance(given, bool):
        raise InvalidCard(path, "This is a whole number.")
    return given


def _pairs(given: object, path: str) -> list[tuple[object, Fraction]]:
    if not isinstance(given, list | tuple):
        raise InvalidCard(path, "This is a list of pairs.")
    pairs = []
    for index, pair in enumerate(given):
        if not isinstance(pair, list | tuple) or len(pair) != 2:
            raise InvalidCard(f"{path}[{index}]", "This is a pair.")
        pairs.append((pair[0], _factor(pair[1], f"{path}[{index}][1]")))
    return pairs


def _bands(given: object, path: str) -> tuple[tuple[int | None, Fraction], ...]:
    return tuple(
        (None if limit is None else _whole(limit, f"{path}[{place}]"), factor)
        for place, (limit, factor) in enumerate(_pairs(given, path))
    )


def _tree(given: object, name: str) -> PriceTree:
    if not isinstance(given, Mapping) or not given:
        raise InvalidCard(f"card.{name}", "This is a group of codes.")
    nodes = []
    for code, values in given.items():
        path = f"card.{name}.{code}"
        marks = (
            {"parent": None, "exhaustive": False, "counted": False, **values} if isinstance(values, Mapping) else values
        )
        node = _names(marks, path, {"parent", "factor", "exhaustive", "counted"})
        if not isinstance(node["parent"], str | None) or not all(
            isinstance(node[mark], bool) for mark in ("exhaustive", "counted")
        ):
            raise InvalidCard(path, "A parent is a code or nothing; marks are true or false.")
        nodes.append(
            Priced(
                str(code),
                node["parent"],
                _factor(node["factor"], f"{path}.factor"),
                bool(node["exhaustive"]),
                bool(node["counted"]),
            )
        )
    try:
        return PriceTree(name, nodes)
    except InvalidCard as wrong:
        raise InvalidCard(f"card.{wrong.path}", wrong.sentence) from wrong
