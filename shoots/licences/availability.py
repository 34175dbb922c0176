"""Can this be sold, and from when? What is free, exclusively or not, and what stands in the way."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import InitVar, dataclass
from datetime import date, timedelta
from enum import StrEnum

from clients.trades import is_same_trade
from shoots.licences.conflicts import Claim, claim_of, claims_clash, first_free_day, stands_against_others
from shoots.licences.grants import Grant
from shoots.uses.days import Length, earliest
from shoots.uses.intended import Exclusivity, check_box, check_months, class_bits, end_of_term
from shoots.uses.shipped import IN_FORCE
from shoots.uses.trees import Trees

COMMISSION = "COMMISSION"


class Selling(StrEnum):
    """What the client of a commissioned shoot agreed about selling its pictures to others."""

    NOT_AGREED = "not_agreed"
    AFTER = "after"
    NOT_TO = "not_to"
    FREE = "free"


@dataclass(frozen=True, slots=True)
class SellingOn:
    """The term of the shoot. `after` is the last day on which nothing may be sold; `not_to` are trades.

    It binds sales to others than `commissioned_by`, and never limits what the client holds.
    """

    kind: Selling = Selling.NOT_AGREED
    after: date | None = None
    not_to: frozenset[str] = frozenset()
    commissioned_by: str | None = None

    def free_from(self, licensee: str, trade: str | None) -> date | None:
        """The first day on which the pictures may be sold to this licensee; None is never. A trade not known counts as named."""
        if self.kind is Selling.FREE or (self.commissioned_by is not None and licensee == self.commissioned_by):
            return date.min
        if self.kind is Selling.AFTER and self.after is not None and self.after < date.max:
            return self.after + timedelta(days=1)
        if self.kind is Selling.NOT_TO and self.not_to and not any(is_same_trade(trade, each) for each in self.not_to):
            return date.min
        return date.min if self.kind is Selling.NOT_TO and not self.not_to else None


FREE = SellingOn(Selling.FREE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """A licence wished for, on or after `use_from`. `months = None` is perpetual, `exclusive_months = None` the whole term.

    Raises InvalidUse.
    """

    licensee: str
    classes: frozenset[str]
    media: frozenset[str]
    territories: frozenset[str]
    use_from: date
    months: int | None
    trade: str | None = None
    exclusivity: Exclusivity = Exclusivity.NONE
    exclusive_months: int | None = None
    trees: InitVar[Trees] = IN_FORCE

    def __post_init__(self, trees: Trees) -> None:
        check_box(self.classes, self.media, self.territories, trees)
        check_months(self.months, path="months")
        check_months(self.exclusive_months, path="exclusivity.months")
        end_of_term(self.use_from, self.months, path="months")
        end_of_term(self.use_from, self.exclusive_months, path="exclusivity.months")


@dataclass(frozen=True, slots=True)
class Availability:
    """`free_from`: the earliest start, None is never. `blocked_by`: what stands in the way on the wished day, licence ids and
    COMMISSION, sorted.
    """

    free_from: date | None
    blocked_by: tuple[str, ...]

    def is_free_on(self, day: date) -> bool:
        """True when the wish can start on that day as wished."""
        return self.free_from == day


def free_from(
    wish: Wish, *, picture: str, grants: Iterable[Grant], selling_on: SellingOn, trees: Trees = IN_FORCE
) -> Availability:
    """The earliest start on or after the wished day at which the wish conflicts with no blocking licence on the picture."""
    held = [claim_of(grant, trees) for grant in grants if picture in grant.pictures and stands_against_others(grant)]
    return _free_from(wish, held, selling_on, trees)


def _free_from(wish: Wish, held: list[Claim], selling_on: SellingOn, trees: Trees) -> Availability:
    bits = class_bits(wish.classes)
    media, territories = trees.media.mask(wish.media), trees.territories.mask(wish.territories)
    whole, exclusive = Length(months=wish.months), Length(months=wish.exclusive_months)

    def starting(first: date) -> Claim:
        until = whole.until(first)
        exclusive_until = earliest(until, exclusive.until(first))
        return Claim(
            "", wish.licensee, wish.trade, bits, media, territories, first, until, wish.exclusivity, exclusive_until
        )

    asked = starting(wish.use_from)
    blocked_by = [claim.id for claim in held if claims_clash(asked, claim)]
    agreed = selling_on.free_from(wish.licensee, wish.trade)
    if agreed is None or agreed > wish.use_from:
        blocked_by.append(COMMISSION)
    start = None if agreed is None else first_free_day(starting, held, max(agreed, wish.use_from))
    return Availability(start, tuple(sorted(blocked_by)))


@dataclass(frozen=True, slots=True)
class Offer:
    """What may still be sold of a use: from when not exclusively, and from when exclusively for everybody."""

    shared: Availability
    exclusive: Availability


def offers(
    wishes: Iterable[Wish], *, picture: str, grants: Iterable[Grant], selling_on: SellingOn, trees: Trees = IN_FORCE
) -> list[Offer]:
    """For each wish, its availability not exclusive and picture-exclusive for its whole term. Grants are read once."""
    held = [claim_of(grant, trees) for grant in grants if picture in grant.pictures and stands_against_others(grant)]
    found = []
    for wish in wishes:
        shared, exclusive = (
            Wish(
                licensee=wish.licensee,
                classes=wish.classes,
                media=wish.media,
                territories=wish.territories,
                use_from=wish.use_from,
                months=wish.months,
                trade=wish.trade,
                exclusivity=kind,
                trees=trees,
            )
            for kind in (Exclusivity.NONE, Exclusivity.PICTURE)
        )
        found.append(Offer(_free_from(shared, held, selling_on, trees), _free_from(exclusive, held, selling_on, trees)))
    return found
