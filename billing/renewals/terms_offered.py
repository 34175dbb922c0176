"""For how long a licence that ends can go on, and what each length costs: as long as before, twice that, and without end where it pays.

A renewal is priced as a licence of its own, by the card handed in: common practice, no source. Which lengths are offered is the house's own
choice.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from decimal import Decimal
from math import ceil

from billing.rates.card import Card
from billing.rates.fees import Fee, UseItem, usage_fee
from shoots.uses.intended import LONGEST_MONTHS

PAYS_WITHIN_MONTHS = 120  # the house's own choice: nobody plans a picture further ahead than ten years


@dataclass(frozen=True, slots=True)
class TermOffered:
    """A length (``months`` None: without end) with its fee. ``instead`` is what so many renewals of the first length cost, one after the other:
    ``times`` of them. Without end, ``times`` is the first number of renewals that costs more than the fee."""

    months: int | None
    fee: Fee
    times: int = 1
    instead: Decimal | None = None

    @property
    def saves(self) -> Decimal:
        """What the client saves against ``instead``; 0 for the first length."""
        return self.instead - self.fee.fee if self.instead is not None else Decimal(0)


def lengths(months: int) -> tuple[int | None, ...]:
    """The lengths that are looked at, after a licence of so many months."""
    twice = (2 * months,) if 2 * months <= LONGEST_MONTHS else ()
    return months, *twice, None


def term_of(card: Card, pictures: int, use: UseItem, months: int | None) -> Fee:
    """The fee of a use for another length, from its ``use_from`` on. What was exclusive for longer than that is exclusive throughout.

    Raises CannotPrice, InvalidItem.
    """
    alone = use.exclusive_months
    if alone is not None and months is not None and alone > months:
        alone = None
    return usage_fee(card, pictures, [replace(use, months=months, exclusive_months=alone)])


def terms_offered(card: Card, pictures: int, use: UseItem) -> tuple[TermOffered, ...]:
    """What a use of so many pictures costs again: for its own months first, then what is cheaper than renewing again and again.

    ``use`` has months. Raises CannotPrice, InvalidItem.
    """
    months = use.months
    if months is None:
        raise ValueError("What never ends is not renewed.")
    same = term_of(card, pictures, use, months)
    return TermOffered(months, same), *_longer(card, pictures, use, months, same.fee)


def _longer(card: Card, pictures: int, use: UseItem, months: int, same: Decimal) -> Iterator[TermOffered]:
    for each in lengths(months)[1:]:
        fee = term_of(card, pictures, use, each)
        times = each // months if each is not None else _first_dearer(fee.fee, same)
        offered = TermOffered(each, fee, times, times * same)
        if offered.saves > 0 and (each is not None or times * months <= PAYS_WITHIN_MONTHS):
            yield offered


def _first_dearer(fee: Decimal, same: Decimal) -> int:
    """How many renewals cost more than a fee, at least two: one is no comparison."""
    times = ceil(fee / same)
    return max(2, times if times * same > fee else times + 1)
