"""When two licences can't both stand, and from which day the later one could.

Two licences on a common picture, of different licensees, both blocking, conflict when one is exclusive and its exclusive days meet
the other's days in a shared class, medium and territory; trade exclusivity counts only where the trades are equal or one is
unknown. An agency and its end client are one licensee: hand in the end client.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from shoots.licences.grants import Grant
from shoots.uses.days import earliest, is_after, latest_until, length_of, runs_meet
from shoots.uses.intended import Exclusivity, class_bits, class_names
from shoots.uses.shipped import IN_FORCE
from shoots.uses.trades import is_same_trade
from shoots.uses.trees import Trees


@dataclass(frozen=True, slots=True)
class Claim:
    """A box of days that a licence holds, or a wish asks for, ready to be compared. Leaves are bits, ends half-open."""

    id: str
    licensee: str
    trade: str | None
    classes: int
    media: int
    territories: int
    first: date
    until: date | None
    exclusivity: Exclusivity
    exclusive_until: date | None


@dataclass(frozen=True, slots=True)
class Clash:
    """Why `held` stands against `wanted`: the cells both claim, and the day from which this one blocker is out of the way.

    Codes are exact (`print/rest` is *other print*); `shared_until = None` is for ever, `free_from = None` never.
    """

    wanted: str
    held: str
    held_by: str
    pictures: tuple[str, ...]
    classes: tuple[str, ...]
    media: tuple[str, ...]
    territories: tuple[str, ...]
    shared_from: date
    shared_until: date | None
    free_from: date | None


@dataclass(frozen=True, slots=True)
class Left:
    """What is still free of one part of a wish, and what of it is not: codes, exact (`print/rest` is *other print*)."""

    part: str
    codes: tuple[str, ...]
    without: tuple[str, ...]


def claim_of(grant: Grant, trees: Trees = IN_FORCE) -> Claim:
    """What a licence claims against others. An unplaced one claims all days from its acceptance on."""
    until = grant.until if grant.is_placed else grant.cut_on
    return Claim(
        id=grant.id,
        licensee=grant.licensee,
        trade=grant.trade,
        classes=class_bits(grant.classes),
        media=trees.media.mask(grant.media),
        territories=trees.territories.mask(grant.territories),
        first=grant.use_from,
        until=until,
        exclusivity=grant.exclusivity,
        exclusive_until=earliest(until, grant.exclusive_until) if grant.is_placed else until,
    )


def shuts_out(holder: Claim, other: Claim) -> bool:
    """True when the holder's exclusive days meet the other's days in a shared cell, and its exclusivity is meant for them."""
    if holder.exclusivity is Exclusivity.NONE:
        return False
    return (
        bool(holder.classes & other.classes and holder.media & other.media and holder.territories & other.territories)
        and (holder.exclusivity is Exclusivity.PICTURE or is_same_trade(holder.trade, other.trade))
        and runs_meet(holder.first, holder.exclusive_until, other.first, other.until)
    )


def claims_clash(one: Claim, other: Claim) -> bool:
    """True when two claims on a common picture conflict, either way round."""
    return one.licensee != other.licensee and (shuts_out(one, other) or shuts_out(other, one))


def find_conflicts(grants: Iterable[Grant], trees: Trees = IN_FORCE) -> list[tuple[str, str]]:
    """All conflicting pairs of licence ids among the licences handed in, each pair and the list sorted."""
    by_picture: dict[str, list[tuple[Grant, Claim]]] = defaultdict(list)
    for grant in grants:
        if grant.is_blocking:
            claim = claim_of(grant, trees)
            for picture in grant.pictures:
                by_picture[picture].append((grant, claim))
    pairs: set[tuple[str, str]] = set()
    for standing in by_picture.values():
        for place, (one, claim) in enumerate(standing):
            for other, another in standing[place + 1 :]:
                if (one.is_exclusive or other.is_exclusive) and may_meet(one, other) and claims_clash(claim, another):
                    pairs.add((min(one.id, other.id), max(one.id, other.id)))
    return sorted(pairs)


def find_clashes(wanted: Grant, held: Iterable[Grant], trees: Trees = IN_FORCE) -> list[Clash]:
    """Every blocking licence among `held` that conflicts with `wanted`, whatever state `wanted` is in; by id.

    Hand in the licences on the pictures asked about; the licence itself is passed over.
    """
    claim = claim_of(wanted, trees)
    clashes = []
    for grant in held:
        common = wanted.pictures & grant.pictures
        if not common or grant.id == wanted.id or not grant.is_blocking or not may_meet(wanted, grant):
            continue
        other = claim_of(grant, trees)
        if claims_clash(claim, other):
            clashes.append(_clash(claim, other, tuple(sorted(common)), trees))
    return sorted(clashes, key=lambda clash: clash.held)


def stands_against_others(grant: Grant) -> bool:
    """True for a blocking licence that is placed, or unplaced and exclusive: what a licence on pictures has to fear."""
    return grant.is_blocking and (grant.is_placed or grant.is_exclusive)


def may_meet(one: Grant, other: Grant) -> bool:
    """False where one is unplaced and shuts nobody out while the other has its pictures: other pictures of the shoot may be left for it.

    Two unplaced licences of one shoot meet on every picture of it: what the exclusive one holds, the other could never be placed on.
    """
    if one.is_placed is other.is_placed:
        return True
    return other.is_exclusive if one.is_placed else one.is_exclusive


def _clash(wanted: Claim, held: Claim, pictures: tuple[str, ...], trees: Trees) -> Clash:
    ends = [
        earliest(one.exclusive_until, two.until) for one, two in ((wanted, held), (held, wanted)) if shuts_out(one, two)
    ]
    shared_until = ends[0]
    for end in ends[1:]:
        shared_until = latest_until(shared_until, end)
    return Clash(
        wanted=wanted.id,
        held=held.id,
        held_by=held.licensee,
        pictures=pictures,
        classes=class_names(wanted.classes & held.classes),
        media=trees.media.names(wanted.media & held.media),
        territories=trees.territories.names(wanted.territories & held.territories),
        shared_from=max(wanted.first, held.first),
        shared_until=shared_until,
        free_from=first_free_day(moving(wanted), [held], wanted.first),
    )


def moving(claim: Claim) -> Callable[[date], Claim]:
    """The same claim starting on another day: its lengths in months are kept where it has whole months, else its days."""
    whole = length_of(claim.first, claim.until)
    exclusive = length_of(claim.first, claim.exclusive_until) if is_after(claim.exclusive_until, claim.first) else None

    def starting(first: date) -> Claim:
        until = whole.until(first)
        exclusive_until = first if exclusive is None else earliest(until, exclusive.until(first))
        return Claim(
            claim.id,
            claim.licensee,
            claim.trade,
            claim.classes,
            claim.media,
            claim.territories,
            first,
            until,
            claim.exclusivity,
            exclusive_until,
        )

    return starting


def first_free_day(starting: Callable[[date], Claim], held: Sequence[Claim], first: date) -> date | None:
    """The earliest start on or after `first` at which the claim conflicts with none of `held`; None is never.

    For one blocker the forbidden starts are one run of days: it ends where the blocker does if the claim shuts it out, and where
    the blocker's exclusive days do if it shuts the claim out. So every jump goes to such an end, and each blocker is left
    behind for good.
    """
    while True:
        claim = starting(first)
        ends: list[date | None] = []
        for other in held:
            if claim.licensee == other.licensee:
                continue
            if shuts_out(claim, other):
                ends.append(other.until)
            if shuts_out(other, claim):
                ends.append(other.exclusive_until)
        if not ends:
            return first
        known = [end for end in ends if end is not None]
        if len(known) < len(ends):
            return None
        first = max(known)


def what_is_left(wanted: Grant, held: Iterable[Grant], trees: Trees = IN_FORCE) -> tuple[Left, ...]:
    """What of a licence wanted is free at once: of each part (territories, media, classes) the rest with which it clashes with nobody.

    Leaving out the others of that one part is enough; a part that rivals claim whole is not told of.
    """
    claim = claim_of(wanted, trees)
    places, media, classes = claim.territories, claim.media, claim.classes
    for rival in _rivals(wanted, held, trees):
        if claims_clash(claim, rival):
            places, media, classes = places & ~rival.territories, media & ~rival.media, classes & ~rival.classes
    left = (
        Left("territories", trees.territories.names(places), trees.territories.names(claim.territories & ~places)),
        Left("media", trees.media.names(media), trees.media.names(claim.media & ~media)),
        Left("classes", class_names(classes), class_names(claim.classes & ~classes)),
    )
    return tuple(each for each in left if each.codes)


def _rivals(wanted: Grant, held: Iterable[Grant], trees: Trees) -> list[Claim]:
    return [
        claim_of(grant, trees)
        for grant in held
        if grant.id != wanted.id and grant.pictures & wanted.pictures and grant.is_blocking and may_meet(wanted, grant)
    ]


def free_day_of(wanted: Grant, held: Iterable[Grant], trees: Trees = IN_FORCE) -> date | None:
    """The earliest first day, not before its own, from which `wanted` would clash with none of `held`; None is never."""
    blockers = _rivals(wanted, held, trees)
    return first_free_day(moving(claim_of(wanted, trees)), blockers, wanted.use_from)
