"""May this client do this? Which of its licences cover a use together, where is the first gap, and why each does not cover alone."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from enum import StrEnum

from shoots.licences.grants import Grant
from shoots.licences.states import State
from shoots.uses.days import earliest, is_after, is_before
from shoots.uses.intended import Exclusivity, Use, class_bits
from shoots.uses.shipped import IN_FORCE
from shoots.uses.trees import Trees


class Reason(StrEnum):
    """Why a licence does not cover a use alone, in the order in which they are told."""

    UNPAID = "UNPAID"
    CLASS = "CLASS"
    MEDIUM = "MEDIUM"
    TERRITORY = "TERRITORY"
    TOO_EARLY = "TOO_EARLY"
    ENDED = "ENDED"
    EMBARGO = "EMBARGO"
    QUANTITY = "QUANTITY"


@dataclass(frozen=True, slots=True)
class Cover:
    """The answer. `first_gap` is the earliest day on which some cell is missing; `reasons` has each licence of the licensee on
    the picture, with no reason where it covers alone. Licences in `unpaid_notes` cover though UNPAID is told of them.
    `has_no_grant`: the licensee has no licence on the picture at all.
    """

    is_covered: bool
    first_gap: date | None
    reasons: Mapping[str, tuple[Reason, ...]]
    unpaid_notes: frozenset[str]
    has_no_grant: bool


@dataclass(frozen=True, slots=True)
class _Run:
    classes: int
    media: int
    territories: int
    first: date
    until: date | None


def cover(use: Use, *, picture: str, licensee: str, grants: Iterable[Grant], trees: Trees = IN_FORCE) -> Cover:
    """Whether the licensee's licences on the picture cover every cell of the use.

    Several may cover together; copies are never added across licences. Unplaced licences cover nothing and are passed over.
    """
    own = [grant for grant in grants if grant.licensee == licensee and picture in grant.pictures and grant.is_placed]
    gap = _first_gap(use, [grant for grant in own if _is_usable(grant, use)], trees)
    return Cover(
        is_covered=gap is None,
        first_gap=gap,
        reasons={grant.id: reasons_against(grant, use, trees) for grant in own},
        unpaid_notes=frozenset(grant.id for grant in own if grant.is_covering and not grant.is_paid),
        has_no_grant=not own,
    )


def reasons_against(grant: Grant, use: Use, trees: Trees = IN_FORCE) -> tuple[Reason, ...]:
    """Every reason that stops the licence covering the use alone, and the note UNPAID of one that covers before payment."""
    media, territories = trees.media, trees.territories
    tests = {
        Reason.UNPAID: not (grant.is_covering and grant.is_paid),
        Reason.CLASS: not use.classes <= grant.classes,
        Reason.MEDIUM: bool(media.mask(use.media) & ~media.mask(grant.media)),
        Reason.TERRITORY: bool(territories.mask(use.territories) & ~territories.mask(grant.territories)),
        Reason.TOO_EARLY: use.use_from < grant.covered_from,
        Reason.ENDED: is_after(use.use_until, grant.covered_until),
        Reason.EMBARGO: grant.embargo_until is not None and use.use_from < grant.embargo_until,
        Reason.QUANTITY: not _has_copies(grant, use),
    }
    return tuple(reason for reason, stands in tests.items() if stands)


def held_whole(use: Use, wanted: Grant, grants: Iterable[Grant], trees: Trees = IN_FORCE) -> frozenset[str]:
    """The licences, by id, by which a client holds the whole of a wish on every picture already; none where a cell is missing.

    ``wanted`` is the wish as a licence, ``use`` what it asks to cover. Those not paid yet count as if they were; an exclusive wish is held
    only by what shuts out as many, as long.
    """
    own = {
        grant.id: replace(grant, state=State.PAID) if grant.state is State.ACCEPTED else grant
        for grant in grants
        if grant.licensee == wanted.licensee and _shuts_out_as_many(grant, wanted)
    }
    needed: set[str] = set()
    for picture in wanted.pictures:
        found = cover(use, picture=picture, licensee=wanted.licensee, grants=own.values(), trees=trees)
        if not found.is_covered:
            return frozenset()
        alone = [key for key, reasons in found.reasons.items() if not reasons]
        needed |= set(alone[:1] or found.reasons)
    return frozenset(needed)


def _shuts_out_as_many(held: Grant, wanted: Grant) -> bool:
    if not wanted.is_exclusive:
        return True
    if held.exclusivity not in (wanted.exclusivity, Exclusivity.PICTURE):
        return False
    ends = earliest(held.until, held.exclusive_until)
    return not is_after(earliest(wanted.use_until, wanted.exclusive_until), ends)


def _is_usable(grant: Grant, use: Use) -> bool:
    return grant.is_covering and _has_copies(grant, use)


def _has_copies(grant: Grant, use: Use) -> bool:
    return use.copies is None or grant.copies_left is None or use.copies <= grant.copies_left


def _first_gap(use: Use, usable: list[Grant], trees: Trees) -> date | None:
    runs = [_run(grant, trees) for grant in usable]
    runs = [run for run in runs if is_before(run.first, run.until)]
    turns = {use.use_from} | {day for run in runs for day in (run.first, run.until) if day is not None}
    for day in sorted(turns):
        if day < use.use_from or not is_before(day, use.use_until):
            continue
        standing = [run for run in runs if run.first <= day and is_before(day, run.until)]
        if _has_hole(use, standing, trees):
            return day
    return None


def _run(grant: Grant, trees: Trees) -> _Run:
    first = grant.covered_from if grant.embargo_until is None else max(grant.covered_from, grant.embargo_until)
    return _Run(
        class_bits(grant.classes),
        trees.media.mask(grant.media),
        trees.territories.mask(grant.territories),
        first,
        grant.covered_until,
    )


def _has_hole(use: Use, standing: list[_Run], trees: Trees) -> bool:
    """True when some cell of the use is missing on a day on which exactly these licences stand."""
    wanted = trees.territories.mask(use.territories)
    media = trees.media.mask(use.media)
    for name in use.classes:
        bit = class_bits([name])
        rest = media
        while rest:
            medium = rest & -rest
            rest ^= medium
            missing = wanted
            for run in standing:
                if run.classes & bit and run.media & medium:
                    missing &= ~run.territories
            if missing:
                return True
    return False
