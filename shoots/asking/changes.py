"""The smallest changes that make a no or a not yet a yes, found by asking again with each of them applied.

A change belongs to a place (the first day, the media, the release of one person). Of all ways to change the same places the one that
loses least is kept; a set of places is left out when fewer of them do. Never more than two at a time: beyond that a talk helps more.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date
from enum import StrEnum
from fractions import Fraction
from itertools import combinations, product

from shoots.asking.answers import Asked, Stand, clearance_of, is_agreed, is_yes
from shoots.licences.availability import FREE
from shoots.releases.clearance import Recognisable, Subject, Verdict
from shoots.uses.intended import Exclusivity, InvalidUse
from shoots.uses.shipped import IN_FORCE
from shoots.uses.trees import REST, Tree, Trees

MOST = 2
"""So many changes at once are looked for."""
MOST_CUTS = 5
"""From so many different cuts of a list all joins are tried, 31 of them; of more, each alone and all together."""
CENTURY = 36525
"""Days that a use without end counts when losses are compared."""


class Place(StrEnum):
    """What is changed, in the order in which changes that lose the same are told."""

    LOOK = "look"
    RELEASE = "release"
    COMMISSION = "commission"
    FIRST = "first"
    END = "end"
    MEDIA = "media"
    TERRITORIES = "territories"
    CLASSES = "classes"
    EXCLUSIVITY = "exclusivity"


ASKED_OF_OTHERS = frozenset({Place.LOOK, Place.RELEASE, Place.COMMISSION})
"""These change no word of the use: somebody has to look, sign or agree first."""


@dataclass(frozen=True, slots=True)
class Change:
    """One change. `day`: the new first day, or the first day after the end. `codes`: what is left of a list. `who`: whose
    release (the id of the subject), or which shoot's client is asked.
    """

    place: Place
    day: date | None = None
    codes: tuple[str, ...] = ()
    who: str = ""

    @property
    def spot(self) -> tuple[Place, str]:
        """What it changes: two changes of one spot exclude each other."""
        return self.place, self.who


Changes = tuple[Change, ...]


@dataclass(frozen=True, slots=True)
class Proposal:
    """Sets of changes that each make it a yes, the smallest first. `needs_more`: none up to two does, and it is no yes yet."""

    sets: tuple[Changes, ...]
    needs_more: bool


def applied(asked: Asked, stand: Stand, changes: Iterable[Change], trees: Trees = IN_FORCE) -> tuple[Asked, Stand]:
    """The question with the changes made. Raises InvalidUse where nothing of it would be left."""
    for change in changes:
        match change.place:
            case Place.FIRST:
                asked = replace(asked, first=change.day or asked.first, trees=trees)
            case Place.END:
                asked = replace(asked, end=change.day, trees=trees)
            case Place.CLASSES:
                asked = replace(asked, classes=frozenset(change.codes), trees=trees)
            case Place.MEDIA:
                asked = replace(asked, media=frozenset(change.codes), trees=trees)
            case Place.TERRITORIES:
                asked = replace(asked, territories=frozenset(change.codes), trees=trees)
            case Place.EXCLUSIVITY:
                asked = replace(asked, exclusivity=Exclusivity.NONE, exclusive_months=None, trees=trees)
            case _:
                stand = _supposed(stand, change)
    return asked, stand


def _supposed(stand: Stand, change: Change) -> Stand:
    match change.place:
        case Place.COMMISSION:
            return replace(stand, selling_on=FREE) if stand.shoot == change.who else stand
        case Place.RELEASE:
            return replace(
                stand, people=_apart(stand.people, change.who), properties=_apart(stand.properties, change.who)
            )
        case _:
            return replace(stand, people=_looked_at(stand.people), properties=_looked_at(stand.properties))


def _apart(subjects: tuple[Subject, ...] | None, who: str) -> tuple[Subject, ...] | None:
    return None if subjects is None else tuple(each for each in subjects if each.id != who)


def _looked_at(subjects: tuple[Subject, ...] | None) -> tuple[Subject, ...]:
    return tuple(each for each in subjects or () if each.recognisable is not Recognisable.ASK)


def works(asked: Asked, stand: Stand, changes: Iterable[Change], trees: Trees = IN_FORCE) -> bool:
    """True when asking again with the changes made gives a yes."""
    try:
        return is_yes(*applied(asked, stand, changes, trees), trees)
    except InvalidUse:
        return False


def smallest_changes(asked: Asked, stand: Stand, trees: Trees = IN_FORCE) -> Proposal:
    """Every smallest set of places, up to two, whose change makes it a yes; fewest changes first, then least lost."""
    if is_yes(asked, stand, trees):
        return Proposal((), needs_more=False)
    choices: dict[tuple[Place, str], list[Change]] = {}
    for change in _candidates(asked, stand, trees):
        choices.setdefault(change.spot, []).append(change)
    found: list[tuple[frozenset[tuple[Place, str]], Changes]] = []
    for size in range(1, MOST + 1):
        smaller = [spots for spots, _changes in found]
        for spots in combinations(choices, size):
            if any(known <= set(spots) for known in smaller):
                continue
            working = [each for each in product(*(choices[spot] for spot in spots)) if works(asked, stand, each, trees)]
            if working:
                best = min(working, key=lambda each: _rank(asked, stand, each, trees))
                found.append((frozenset(spots), best))
    ordered = sorted((changes for _spots, changes in found), key=lambda each: _rank(asked, stand, each, trees))
    return Proposal(tuple(ordered), needs_more=not ordered)


def _rank(asked: Asked, stand: Stand, changes: Changes, trees: Trees) -> tuple[int, Fraction, tuple[str, ...]]:
    order = list(Place)
    return len(changes), lost(asked, stand, changes, trees), tuple(str(order.index(each.place)) for each in changes)


def lost(asked: Asked, stand: Stand, changes: Changes, trees: Trees = IN_FORCE) -> Fraction:
    """Which part of the use asked for is lost, from 0 to 1 and beyond: cells and days, days of waiting, and half of it with exclusivity."""
    after, _stand = applied(asked, stand, changes, trees)
    days = _days(asked)
    left = Fraction(_leaves(after, trees) * min(_days(after), days), _leaves(asked, trees) * days)
    waited = Fraction((after.first - asked.first).days, days)
    shared = Fraction(1, 2) if asked.exclusivity is not after.exclusivity else Fraction(0)
    return 1 - left + waited + shared


def _days(asked: Asked) -> int:
    return CENTURY if asked.until is None else (asked.until - asked.first).days


def _leaves(asked: Asked, trees: Trees) -> int:
    media, places = trees.media.mask(asked.media), trees.territories.mask(asked.territories)
    return len(asked.classes) * media.bit_count() * places.bit_count()


# What may be changed


def _candidates(asked: Asked, stand: Stand, trees: Trees) -> list[Change]:
    releases = [
        release for subject in (*(stand.people or ()), *(stand.properties or ())) for release in subject.releases
    ]
    found = _of_others(asked, stand, trees)
    found += [Change(Place.FIRST, day=day) for day in _first_days(asked, stand)]
    found += [Change(Place.END, day=day) for day in _ends(asked, stand)]
    shared = [claim for claim in stand.claims if claim.licensee != asked.licensee]
    found += _narrowed(
        Place.MEDIA,
        asked.media,
        trees.media,
        [claim.media for claim in shared],
        [trees.media.mask(release.media) for release in releases if release.media],
        more=trees.media.own_promotion_mask if any(release.own_promotion_of for release in releases) else 0,
    )
    found += _narrowed(
        Place.TERRITORIES,
        asked.territories,
        trees.territories,
        [claim.territories for claim in shared],
        [trees.territories.mask(release.territories) for release in releases if release.territories],
    )
    classes = sorted(asked.classes)
    found += [
        Change(Place.CLASSES, codes=kept) for count in range(1, len(classes)) for kept in combinations(classes, count)
    ]
    if asked.exclusivity is not Exclusivity.NONE:
        found.append(Change(Place.EXCLUSIVITY))
    return found


def _of_others(asked: Asked, stand: Stand, trees: Trees) -> list[Change]:
    found = []
    clearance = clearance_of(asked, stand, trees)
    if clearance.verdict is Verdict.NOT_CLEARED:
        words = [note.split(":", 1) for note in clearance.notes]
        if any(word == "NOT_ASSESSED" for word, _who in words):
            found.append(Change(Place.LOOK))
        found += [
            Change(Place.RELEASE, who=who) for who in sorted({who for word, who in words if word != "NOT_ASSESSED"})
        ]
    if not is_agreed(asked, stand):
        found.append(Change(Place.COMMISSION, who=stand.shoot))
    return found


def _subjects(stand: Stand) -> tuple[Subject, ...]:
    return (*(stand.people or ()), *(stand.properties or ()))


def _first_days(asked: Asked, stand: Stand) -> list[date]:
    """A later start frees it on the day after a rival, after the shoot's term, or when a release begins: on no other."""
    days = {day for claim in stand.claims for day in (claim.until, claim.exclusive_until)}
    days |= {stand.selling_on.free_from(asked.licensee, asked.trade)}
    days |= {release.use_from for subject in _subjects(stand) for release in subject.releases}
    return sorted(day for day in days if day is not None and day > asked.first)


def _ends(asked: Asked, stand: Stand) -> list[date]:
    """A shorter term frees it where it ends as a rival begins, or with a release: at no other day."""
    days: set[date | None] = {claim.first for claim in stand.claims}
    days |= {release.use_until for subject in _subjects(stand) for release in subject.releases}
    return sorted(day for day in days if day is not None and day > asked.first)


def _narrowed(
    place: Place, codes: frozenset[str], tree: Tree, taken: list[int], allowed: list[int], *, more: int = 0
) -> list[Change]:
    """What is left of a list without what rivals take, or within what a release allows."""
    whole = tree.mask(codes)
    cuts = {whole & mask for mask in taken} | {whole & ~mask for mask in [*allowed, *([more] if more else [])]}
    cuts -= {0, whole}
    lefts: dict[tuple[str, ...], None] = {}
    for cut in _joined(sorted(cuts)):
        kept = tuple(code for code in tree.names(whole & ~cut) if not code.endswith(REST))
        if kept:
            lefts[kept] = None
    return [Change(place, codes=kept) for kept in lefts]


def _joined(cuts: list[int]) -> list[int]:
    if len(cuts) > MOST_CUTS:
        everything = 0
        for cut in cuts:
            everything |= cut
        return [*cuts, everything]
    joined = set()
    for count in range(1, len(cuts) + 1):
        for some in combinations(cuts, count):
            whole = 0
            for cut in some:
                whole |= cut
            joined.add(whole)
    return sorted(joined)


# Many pictures at once


@dataclass(frozen=True, slots=True)
class Gain:
    """Changes with the number of pictures that would be a yes with them, those that are one already among them."""

    changes: Changes
    yes: int


def best_for_all(
    asked: Asked, stands: dict[Stand, int], sets: Iterable[Changes], *, most: int = 5, trees: Trees = IN_FORCE
) -> list[Gain]:
    """Of the sets handed in those that make the most pictures a yes, more than now. ``stands``: how many pictures stand so."""
    now = sum(count for stand, count in stands.items() if is_yes(asked, stand, trees))
    gains = []
    for changes in dict.fromkeys(sets):
        yes = sum(count for stand, count in stands.items() if works(asked, stand, changes, trees))
        if yes > now:
            gains.append(Gain(changes, yes))
    return sorted(gains, key=lambda gain: (-gain.yes, len(gain.changes)))[:most]
