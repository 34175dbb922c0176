"""A rate card as a file: written, and read back strictly. JSON (RFC 8259) in UTF-8.

    {"valid_from": "2026-01-01", "currency": "EUR", "rates": {"day_rate": "780.00", "validity_days": 14, …},
     "card": {…, as the shell door ``price_use`` takes it}, "sha256": "…"}

Sums and factors are text, counts of days, minutes or rounds whole numbers. ``sha256`` is that of the other values, written without blanks and in
the order of their names; it tells a file that was changed by hand from one as it was written, and may be left out.
"""

import json
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from hashlib import sha256
from typing import Any

from billing.cards.places_in_json import places
from billing.rates.card import FIGURES, Card, InvalidCard, PriceTree, card_data, check_card, read_card
from billing.rates.scenarios import place_in_file
from shared.strict_json import InvalidJson, KeyTwice, read_json
from shoots.licences.scenarios import Fields, InvalidScenario, Part

LARGEST_FILE = 1_000_000
LONGEST_LIST = 40
LARGEST_COUNT = 1_000_000_000
LARGEST_FACTOR, LARGEST_SUM = Fraction(100), Fraction(100_000)
DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
CURRENCY = re.compile(r"[A-Z]{3}")
SUM = re.compile(r"([0-9]+)(?:\.([0-9]+))?")


@dataclass(frozen=True, slots=True)
class Problem:
    """What is wrong in a file: the path of the value, its line (from 1; 0 for the file as a whole), and what to do."""

    path: str
    line: int
    sentence: str


class InvalidCardFile(ValueError):
    """A file that is not taken, with everything found wrong in it."""

    def __init__(self, *problems: Problem) -> None:
        self.problems = problems
        super().__init__(f"{problems[0].path or 'the file'}: {problems[0].sentence}")


@dataclass(frozen=True, slots=True)
class RateKind:
    """How a rate is written: figures in all, and decimals among them (None: a whole number, a count). ``is_flag``: true or false."""

    digits: int
    decimals: int | None
    is_flag: bool = False


@dataclass(frozen=True, slots=True)
class CardFile:
    """A card read from a file. ``is_as_written``: its SHA-256 fits; None where it has none."""

    valid_from: date
    currency: str
    rates: Mapping[str, Decimal | int]
    usage: Card
    is_as_written: bool | None = None


def write_card_file(card: CardFile) -> bytes:
    """The file of a card, one value a line, so that a change by hand is easily seen."""
    data: dict[str, Any] = {
        "valid_from": card.valid_from.isoformat(),
        "currency": card.currency,
        "rates": {name: value if isinstance(value, int) else format(value, "f") for name, value in card.rates.items()},
        "card": card_data(card.usage),
    }
    return json.dumps(data | {"sha256": _digest(data)}, ensure_ascii=False, indent=1).encode() + b"\n"


def read_card_file(content: bytes, *, rates: Mapping[str, RateKind], shipped: Card, in_use: Card) -> CardFile:
    """The card in a file. Its codes are those of ``in_use``, and none of ``shipped`` is missing. Raises InvalidCardFile, with all that is wrong."""
    text = _text(content)
    try:
        return _read(text, rates, shipped, in_use)
    except InvalidScenario as wrong:
        raise problem_at(text, wrong.path, str(wrong).removeprefix(f"{wrong.path or 'the file'}: ")) from wrong
    except InvalidCard as wrong:
        raise problem_at(text, wrong.path, wrong.sentence) from wrong


def problem_at(text: str, *found: Any) -> InvalidCardFile:
    """A refusal with the lines in ``text`` of paths and their sentences, in turns."""
    lines = dict(reversed(list(places(text))))
    return InvalidCardFile(
        *(Problem(path, _line(lines, path), sentence) for path, sentence in zip(found[::2], found[1::2], strict=True))
    )


def _text(content: bytes) -> str:
    if len(content) > LARGEST_FILE:
        raise InvalidCardFile(Problem("", 0, "This file has more than 1 MB. A rate card has less than 100 kB."))
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as wrong:
        line = content.count(b"\n", 0, wrong.start) + 1
        raise InvalidCardFile(
            Problem("", line, "This is no text in UTF-8. Save the file as UTF-8, without formatting.")
        ) from wrong


def _read(text: str, kinds: Mapping[str, RateKind], shipped: Card, in_use: Card) -> CardFile:
    data = _json(text)
    fields = Part(data, "").fields("valid_from currency rates card", "sha256")
    rates_given = fields.part("rates").fields(" ".join(kinds))
    rates = {name: _rate(rates_given, name, kind) for name, kind in kinds.items()}
    card = read_card(fields.part("card").value)
    problems = [*_beyond_limits(card), *_code_problems(card, shipped, in_use)]
    if not problems:
        problems = [(place_in_file(card, each), each.sentence) for each in check_card(card).errors]
    if problems:
        raise problem_at(text, *(part for problem in problems for part in problem))
    digest = fields.maybe("sha256")
    given = {name: value for name, value in data.items() if name != "sha256"}
    return CardFile(
        _day(fields.part("valid_from")),
        _currency(fields.part("currency")),
        rates,
        card,
        None if digest is None else digest.text() == _digest(given),
    )


def _json(text: str) -> Any:
    try:
        return read_json(text)
    except KeyTwice as wrong:
        seen: set[str] = set()
        for path, line in places(text):
            if path in seen:
                raise InvalidCardFile(Problem(path, line, str(wrong))) from wrong
            seen.add(path)
        raise InvalidCardFile(Problem("", 0, str(wrong))) from wrong
    except InvalidJson as wrong:
        cause = wrong.__cause__
        line = cause.lineno if isinstance(cause, json.JSONDecodeError) else 0
        said = cause.msg if isinstance(cause, json.JSONDecodeError) else str(wrong)
        raise InvalidCardFile(Problem("", line, f"This is not JSON from here on: {said}.")) from wrong


def _rate(fields: Fields, name: str, kind: RateKind) -> Decimal | int:
    part = fields.part(name)
    if kind.is_flag:
        return part.flag()
    if kind.decimals is None:
        count = part.count()
        if len(str(count)) > kind.digits:
            raise part.refuse(f"Use at most {kind.digits} figures.")
        return count
    text = part.value if isinstance(part.value, str) else ""
    found = SUM.fullmatch(text)
    if found is None:
        raise part.refuse("Write this as text with a point, for example “780.00”.")
    whole, decimals = found[1].lstrip("0"), (found[2] or "").rstrip("0")
    if len(whole) > kind.digits - kind.decimals:
        raise part.refuse(f"Use at most {kind.digits - kind.decimals} figures before the point.")
    if len(decimals) > kind.decimals:
        raise part.refuse(f"Use at most {kind.decimals} figures after the point.")
    return Decimal(text)


def _day(part: Part) -> date:
    if isinstance(part.value, str) and DAY.fullmatch(part.value):
        try:
            return date.fromisoformat(part.value)
        except ValueError:
            pass
    raise part.refuse("Write a day as “2026-01-31”.")


def _currency(part: Part) -> str:
    if not isinstance(part.value, str) or not CURRENCY.fullmatch(part.value):
        raise part.refuse("Write a currency as three capital letters, for example “EUR”.")
    return part.value


def _beyond_limits(card: Card) -> Iterator[tuple[str, str]]:
    """What no form of the product could show or save again."""
    for name in FIGURES:
        most = LARGEST_FACTOR if name == "term_perpetual" else LARGEST_SUM
        yield from _limit(f"card.{name}", getattr(card, name), most, 4 if most == LARGEST_FACTOR else 2)
    for kind, factor in card.exclusivity.items():
        yield from _limit(f"card.exclusivity.{kind}", factor, LARGEST_FACTOR, 4)
    for name in ("term", "picture_bands", "copy_bands"):
        points = getattr(card, name)
        if len(points) > LONGEST_LIST:
            yield f"card.{name}", f"Use at most {LONGEST_LIST} lines."
        for place, (limit, factor) in enumerate(points):
            yield from _limit(f"card.{name}[{place}][1]", factor, LARGEST_FACTOR, 4)
            if limit is not None and limit > LARGEST_COUNT:
                yield f"card.{name}[{place}]", f"Use at most {LARGEST_COUNT:,}."
    for tree in (card.classes, card.media, card.territories):
        for node in tree.nodes.values():
            yield from _limit(f"card.{tree.name}.{node.code}.factor", node.factor, LARGEST_FACTOR, 4)


def _limit(path: str, value: Fraction, most: Fraction, decimals: int) -> Iterator[tuple[str, str]]:
    if value > most:
        yield path, f"Enter at most {int(most):,}."
    elif (value * 10**decimals).denominator != 1:
        yield path, f"Use at most {decimals} figures after the point."


def _code_problems(card: Card, shipped: Card, in_use: Card) -> Iterator[tuple[str, str]]:
    """Codes nobody knows, codes that hang elsewhere, and shipped codes without a factor. One the studio added may be missing."""
    for tree, first, known in (
        (card.classes, shipped.classes, in_use.classes),
        (card.media, shipped.media, in_use.media),
        (card.territories, shipped.territories, in_use.territories),
    ):
        yield from _unknown(tree, known)
        for code in first.nodes:
            if code not in tree.nodes:
                yield f"card.{tree.name}.{code}", "This code is in use and has no factor here."


def _unknown(tree: PriceTree, known: PriceTree) -> Iterator[tuple[str, str]]:
    for node in tree.nodes.values():
        path, ours = f"card.{tree.name}.{node.code}", known.nodes.get(node.code)
        if ours is None:
            yield path, "This code is not known here."
        elif node.parent != ours.parent:
            yield f"{path}.parent", f"Here this belongs to {ours.parent or 'nothing wider'}."
        elif (node.exhaustive, node.counted) != (ours.exhaustive, ours.counted):
            yield path, "Leave “exhaustive” and “counted” as they are: they are no prices."


def _line(lines: Mapping[str, int], path: str) -> int:
    """The line of a path, or of what it stands in where it is missing."""
    while path and path not in lines:
        cut = max(path.rfind("."), path.rfind("["))
        path = path[:cut] if cut > 0 else ""
    return lines.get(path, 0)


def _digest(data: Mapping[str, Any]) -> str:
    return sha256(json.dumps(data, sort_keys=True, separators=(",", ":"), ensure_ascii=False).encode()).hexdigest()
