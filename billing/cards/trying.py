"""A use priced without an estimate: anew, as a change, as a renewal, or for a use found; with all that leads to the sum."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction

from billing.rates.card import Card
from billing.rates.examples import decimal_of
from billing.rates.fees import Fee, UseItem, change_fee, renewal_fee, retroactive_fee, usage_fee
from billing.rates.steps import LineInWords, Step, lines_in_words, named
from billing.rates.working import fee_data, wider_offers
from shared.money import round_money
from shared.words.formats import list_in_words, with_capital


class Case(StrEnum):
    """Why a fee is asked for."""

    NEW = "new"
    CHANGE = "change"
    RENEWAL = "renewal"
    FOUND = "found"


@dataclass(frozen=True, slots=True)
class Asked:
    """What is priced: a use, and up to five further ones. ``agreed_fee`` counts for a change, ``more_months`` (None: without end) for a renewal, ``late_factor`` for a use found."""

    case: Case
    pictures: int
    use: UseItem
    agreed_fee: Decimal = Decimal(0)
    more_months: int | None = None
    late_factor: Fraction = Fraction(1)
    further: tuple[UseItem, ...] = ()

    @property
    def uses(self) -> tuple[UseItem, ...]:
        return self.use, *self.further


@dataclass(frozen=True, slots=True)
class Band:
    """What the same use costs for another number of pictures."""

    pictures: int
    fee: Decimal
    each: Decimal
    is_asked: bool


@dataclass(frozen=True, slots=True)
class Tried:
    """The fee of the uses, what is to be paid in their case, and what led there, line by line. ``wider``: what the same fee would cover as well."""

    fee: Fee
    to_pay: Decimal
    lines: tuple[LineInWords, ...]
    bands: tuple[Band, ...]
    wider: tuple[str, ...]

    @property
    def steps(self) -> tuple[Step, ...]:
        """The factors of the first line."""
        return self.lines[0].steps

    @property
    def cutting(self) -> str:
        """How the uses are put into lines: *Uses 1 and 3 together, use 2 alone*; empty for one use."""
        if sum(len(line.uses) for line in self.lines) < 2:
            return ""
        said = [f"use {line.uses[0]} alone" if len(line.uses) == 1 else f"uses {list_in_words([str(each) for each in line.uses], 'en')} together" for line in self.lines]  # fmt: skip
        text = ", ".join(said)
        return with_capital(text)

    @property
    def exact(self) -> Decimal:
        return decimal_of(self.fee.total)

    @property
    def is_rounded(self) -> bool:
        return not self.fee.is_minimum and self.fee.total != Fraction(self.fee.fee)


def try_fee(card: Card, asked: Asked) -> Tried:
    """The fee by a card. Raises what ``usage_fee`` and ``renewal_fee`` raise: CannotPrice, InvalidItem, UnknownCode."""
    fee = _fee(card, asked, asked.pictures)
    to_pay = fee.fee
    if asked.case == Case.CHANGE:
        to_pay = change_fee(card, fee.fee, asked.agreed_fee)
    elif asked.case == Case.FOUND:
        to_pay = retroactive_fee(card, fee.fee, asked.late_factor)
    return Tried(fee, to_pay, lines_in_words(fee_data(fee)), tuple(_bands(card, asked)), tuple(_wider(fee, asked.uses)))


def _fee(card: Card, asked: Asked, pictures: int) -> Fee:
    if asked.case == Case.RENEWAL:
        return renewal_fee(card, pictures, asked.uses, asked.more_months)
    return usage_fee(card, pictures, asked.uses)


def _bands(card: Card, asked: Asked) -> Iterator[Band]:
    limits = {limit for limit, _ in card.picture_bands if limit is not None}
    for pictures in sorted({1, *limits, asked.pictures}):
        fee = _fee(card, asked, pictures).fee
        yield Band(pictures, fee, round_money(fee / pictures), pictures == asked.pictures)


def _wider(fee: Fee, uses: Sequence[UseItem]) -> Iterator[str]:
    for offer in wider_offers(fee):
        wanted = sorted(frozenset().union(*(getattr(uses[place], offer.of) for place in offer.items)))
        yield f"{named(offer.of, offer.codes)} instead of {named(offer.of, wanted)}"
