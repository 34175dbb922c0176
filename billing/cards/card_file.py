"""A rate card as a file: written, and read back strictly. JSON (RFC 8259) in UTF-8.

    {"valid_from": "2026-01-01", "currency": "EUR", "rates": {"day_rate": "780.00", "validity_days": 14, …},
     "card": {…, as the shell door ``price_use`` takes it}, "sha256": "…"}

Sums and factors are text, counts of days, minutes or rounds whole numbers. ``sha256`` is that of the other values, written without blanks and in
the order of their names; it tells a file that was changed by hand from one as it was written, and may be left out.
"""

import json
import re
from collections.abc import Callable, Iterator, Mapping
from copy import deepcopy
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from hashlib import sha256
from typing import Any, TypeVar

from billing.cards.places_in_json import places
from billing.cards.values_in_json import NothingThere, put_at, take_out, value_at
from billing.rates.card import FIGURES, Card, InvalidCard, PriceTree, card_data, check_card, read_card
from billing.rates.scenarios import place_in_file
from shared.strict_json import InvalidJson, KeyTwice, read_json
from shoots.licences.scenarios import InvalidScenario, Part

LARGEST_FILE = 1_000_000
LONGEST_LIST = 40
LONGEST_SHOWN, MOST_TOLD = 60, 200
LARGEST_COUNT = 1_000_000_000
LARGEST_FACTOR, LARGEST_SUM = Fraction(100), Fraction(100_000)
DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
CURRENCY = re.compile(r"[A-Z]{3}")
T = TypeVar("T")
SUM = re.compile(r"([0-9]+)(?:\.([0-9]+))?")


@dataclass(frozen=True, slots=True)
class Problem:
    """What is wrong in a file: the path of the value, its line (from 1; 0 for the file as a whole), what to do, and what stands there now."""

    path: str
    line: int
    sentence: str
    found: str = ""


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
    lines, data = dict(reversed(list(places(text)))), read_json(text)
    return InvalidCardFile(
        *(
            Problem(path, _line(lines, path), sentence, _shown(data, path))
            for path, sentence in zip(found[::2], found[1::2], strict=True)
        )
    )


def _shown(data: Any, path: str) -> str:
    """The value at a path as the file writes it; empty for a group, a list, and where nothing stands."""
    try:
        value = value_at(data, path)
    except NothingThere:
        return ""
    if isinstance(value, dict) or not path or (isinstance(value, list) and len(value) > 2):
        return ""
    text = json.dumps(value, ensure_ascii=False)
    return text if len(text) <= LONGEST_SHOWN else f"{text[:LONGEST_SHOWN]}…"


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
    """What cannot be read is told all at once; what contradicts itself is looked for only in a card that could be read."""
    data, problems = _json(text), _Problems()
    whole = Part(data, "")
    if not isinstance(data, dict):
        raise whole.refuse("An object is wanted here.")
    problems += _keys(whole, "valid_from currency rates card", "sha256")
    valid_from = problems.unless_wrong(_day, whole, "valid_from")
    currency = problems.unless_wrong(_currency, whole, "currency")
    digest = problems.unless_wrong(Part.text, whole, "sha256")
    rates = _rates(data, kinds, problems)
    card = _card(data, shipped, problems)
    if card is not None:
        further = [*_beyond_limits(card), *_code_problems(card, shipped, in_use)]
        problems += further or [(place_in_file(card, each), each.sentence) for each in check_card(card).errors]
    if problems or card is None or valid_from is None or currency is None:
        raise problem_at(text, *(part for problem in problems for part in problem))
    given = {name: value for name, value in data.items() if name != "sha256"}
    return CardFile(valid_from, currency, rates, card, None if digest is None else digest == _digest(given))


class _Problems(list[tuple[str, str]]):
    """Paths with their sentences, collected."""

    def unless_wrong(self, read: Callable[[Part], T], within: Part, name: str) -> T | None:
        """What ``read`` makes of a member; None where it is missing (told by ``_keys``) or wrong (told here)."""
        if not isinstance(within.value, dict) or name not in within.value:
            return None
        part = Part(within.value[name], f"{within.path}.{name}" if within.path else name)
        try:
            return read(part)
        except InvalidScenario as wrong:
            self.append((wrong.path, str(wrong).removeprefix(f"{wrong.path}: ")))
            return None


def _keys(part: Part, required: str, optional: str = "") -> Iterator[tuple[str, str]]:
    """Members of an object that are not known, and those that are missing."""
    known, held = required.split(), part.value if isinstance(part.value, dict) else {}
    start = f"{part.path}." if part.path else ""
    for key in held:
        if key not in (*known, *optional.split()):
            yield f"{start}{key}", "This key is not known."
    for key in known:
        if key not in held:
            yield f"{start}{key}", "This key is missing."


def _rates(data: Mapping[str, Any], kinds: Mapping[str, RateKind], problems: _Problems) -> dict[str, Decimal | int]:
    if "rates" not in data:
        return {}
    part = Part(data["rates"], "rates")
    if not isinstance(part.value, dict):
        problems.append(("rates", "An object is wanted here."))
        return {}
    problems += _keys(part, " ".join(kinds))
    found = {name: problems.unless_wrong(_reads_rate(kind), part, name) for name, kind in kinds.items()}
    return {name: value for name, value in found.items() if value is not None}


def _reads_rate(kind: RateKind) -> Callable[[Part], Decimal | int]:
    return lambda part: _rate(part, kind)


def _card(data: Mapping[str, Any], shipped: Card, problems: _Problems) -> Card | None:
    """The card, or everything that cannot be read in it: each fault is mended by the shipped value and what is left is read again."""
    if "card" not in data:
        return None
    given, start = {"card": deepcopy(data["card"])}, {"card": card_data(shipped)}
    told: dict[str, str] = {}
    while len(told) < MOST_TOLD:
        try:
            card = read_card(given["card"])
        except InvalidCard as wrong:
            if wrong.path in told:
                break  # what stands there was mended and is still wrong: something else it hangs on is
            told[wrong.path] = wrong.sentence
            try:
                _mend(given, wrong.path, start)
            except NothingThere:
                break
        else:
            if not told:
                return card
            break
    problems += told.items()
    return None


def _mend(given: Any, path: str, start: Any) -> None:
    """The shipped value in place of a wrong one; a figure or a pair where the shipped card has none there; out with what is not known."""
    try:
        put_at(given, path, deepcopy(value_at(start, path)))
    except NothingThere:
        if path.endswith(("[1]", ".factor")):
            put_at(given, path, "1")
        elif path.endswith("]"):
            put_at(given, path, [0, "1"])
        else:
            take_out(given, path)


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


def _rate(part: Part, kind: RateKind) -> Decimal | int:
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
