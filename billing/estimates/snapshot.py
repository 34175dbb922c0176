"""An estimate as it was sent: everything the paper and the client's page say, frozen, and its way into JSON and back.

Built once from the tables, in the estimate's language. Sums are reckoned before they come here; nothing here reckons.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import MISSING, dataclass, fields, is_dataclass, replace
from datetime import date
from decimal import Decimal
from functools import cache
from types import UnionType
from typing import Any, get_args, get_origin, get_type_hints

from billing.rates.told import FeeTold


class SnapshotUnreadable(ValueError):
    """What was kept cannot be read as a snapshot."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LineShown:
    """A line. ``quantity`` × ``unit_price`` is ``amount`` before tax, in the estimate's currency; ``key`` names the row.

    ``fee`` is a usage fee opened up, in words; with it ``is_own_working`` says that the photographer wrote a working of their own.
    """

    key: str
    kind: str
    what: str
    working: str
    quantity: Decimal
    unit: str
    unit_price: Decimal
    markup_percent: Decimal
    amount: Decimal
    is_at_most: bool
    is_at_cost: bool
    is_disbursement: bool
    is_optional: bool
    fee: FeeTold | None = None  # not in snapshots older than fees that open
    is_own_working: bool = True

    @property
    def has_rate(self) -> bool:
        """Whether quantity × rate is the sum and says more than it: not for a capped cost, and not where a mark-up is in the sum."""
        return not (self.is_at_most or self.markup_percent or (not self.unit and self.quantity == 1))


@dataclass(frozen=True, slots=True, kw_only=True)
class SumsShown:
    """How an option adds up: lines, less discount, plus tax, plus what is passed on untaxed."""

    lines_net: Decimal
    discount: Decimal
    net: Decimal
    tax: Decimal
    untaxed: Decimal
    gross: Decimal
    deposit: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class OptionShown:
    """An option, its sums without any optional line, its use in words and in codes.

    ``optional_uses`` are those the client may add, each by the line named in its ``key``; nothing of them is granted until it is.
    """

    key: str
    letter: str
    title: str
    summary: str
    lines: tuple[LineShown, ...]
    discount_percent: Decimal
    discount_reason: str
    sums: SumsShown
    pictures: tuple[str, ...]
    pictures_count: int
    use: UseShown
    further_uses: tuple[UseShown, ...] = ()  # not in snapshots older than options of several uses
    optional_uses: tuple[UseShown, ...] = ()

    @property
    def name(self) -> str:
        return f"{self.letter}: {self.title}"

    @property
    def fixed_lines(self) -> tuple[LineShown, ...]:
        return tuple(line for line in self.lines if not line.is_optional)

    @property
    def optional_lines(self) -> tuple[LineShown, ...]:
        return tuple(line for line in self.lines if line.is_optional)

    def taking(self, keys: Collection[str]) -> OptionShown:
        """The option with the optional uses of these lines among its further ones."""
        taken = tuple(use for use in self.optional_uses if use.key in keys)
        left = tuple(use for use in self.optional_uses if use.key not in keys)
        return replace(self, further_uses=(*self.further_uses, *taken), optional_uses=left)


@dataclass(frozen=True, slots=True, kw_only=True)
class UseShown:
    """What may be done with the pictures: codes as agreed, and sentences in the estimate's language."""

    is_own_promotion: bool
    classes: tuple[str, ...]
    media: tuple[str, ...]
    territories: tuple[str, ...]
    months: int | None
    exclusivity: str
    exclusive_months: int | None
    copies: int | None
    heading: str
    sentences: tuple[str, ...]
    not_included: str
    key: str = ""  # of the line that adds it, where the client may

    @property
    def rest(self) -> str:
        """The sentences after their heading: *website and social media, aimed at …*."""
        return " ".join(self.sentences).removeprefix(f"{self.heading}: ")

    @property
    def is_exclusive(self) -> bool:
        return self.exclusivity != "none"


@dataclass(frozen=True, slots=True, kw_only=True)
class TermShown:
    """A term: what it is about, and the sentence. ``is_short`` stands among the terms in short on the client's page."""

    heading: str
    sentence: str
    is_short: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class EstimateShown:
    """The whole estimate as sent."""

    number: str
    issue: int
    language: str
    currency: str
    issued_on: date
    valid_until: date | None
    title: str
    days: str
    place: str
    opening: str
    client_name: str
    to: tuple[str, ...]
    sender_name: str
    sender_strapline: str
    sender_address: tuple[str, ...]
    sender_footer: tuple[str, ...]
    options: tuple[OptionShown, ...]
    promise: str
    begins: str
    deposit_percent: Decimal
    deposit_days: int
    tax_category: str
    tax_percent: Decimal
    tax_reason: str
    terms: tuple[TermShown, ...]
    is_order_number_required: bool
    signed_by: str

    @property
    def name(self) -> str:
        return self.number if self.issue == 1 else f"{self.number}/{self.issue}"

    @property
    def short_terms(self) -> tuple[TermShown, ...]:
        return tuple(term for term in self.terms if term.is_short)

    def option(self, letter: str) -> OptionShown | None:
        """The option with this letter, if there is one."""
        return next((option for option in self.options if option.letter == letter), None)


@dataclass(frozen=True, slots=True, kw_only=True)
class AcceptedShown:
    """What the client took: one option with the lines taken, and its sums with them."""

    number: str
    issue: int
    language: str
    currency: str
    option: OptionShown
    taken: tuple[LineShown, ...]
    sums: SumsShown
    deposit_percent: Decimal
    deposit_days: int
    tax_category: str
    tax_percent: Decimal
    tax_reason: str
    order_number: str
    accepted_on: date


def estimate_from_json(kept: Mapping[str, Any]) -> EstimateShown:
    """The snapshot back from JSON. Raises SnapshotUnreadable."""
    shown = read_kept(EstimateShown, kept)
    assert isinstance(shown, EstimateShown)  # noqa: S101  for the type checker
    return shown


def accepted_from_json(kept: Mapping[str, Any]) -> AcceptedShown:
    """What was accepted, back from JSON. Raises SnapshotUnreadable."""
    shown = read_kept(AcceptedShown, kept)
    assert isinstance(shown, AcceptedShown)  # noqa: S101  for the type checker
    return shown


def read_kept(kind: Any, value: Any) -> Any:
    """A snapshot, or a part of one, back from JSON, by the types of its fields; a field with a default may be missing. Raises SnapshotUnreadable."""
    try:
        return _reader_of(kind)(value)
    except (KeyError, TypeError, ArithmeticError, ValueError) as error:
        raise SnapshotUnreadable(f"What was kept of this paper cannot be read: {error}.") from error


@cache
def _reader_of(kind: Any) -> Callable[[Any], Any]:
    """What turns JSON into ``kind``, made once: a list page reads dozens of snapshots, and asking types for their parts is slow."""
    if get_origin(kind) is tuple:
        read = _reader_of(get_args(kind)[0])
        return lambda value: tuple(map(read, value))
    if get_origin(kind) is UnionType:
        read = _reader_of(get_args(kind)[0])
        return lambda value: None if value is None else read(value)
    if is_dataclass(kind):
        hints = get_type_hints(kind)
        parts = [(each.name, _reader_of(hints[each.name]), each.default is MISSING) for each in fields(kind)]
        return lambda value: kind(  # type: ignore[operator]
            **{
                name: value[name] if read is _as_it_is else read(value[name])
                for name, read, is_needed in parts
                if is_needed or name in value
            }
        )
    return _READERS.get(kind, _as_it_is)


def _as_it_is(value: Any) -> Any:
    return value


_READERS: dict[Any, Callable[[Any], Any]] = {Decimal: Decimal, date: date.fromisoformat}
