"""What stands against a licence, in sentences for the photographer. Screens are English."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from shared.words import formats
from shared.words.formats import with_capital
from shoots.licences.conflicts import Clash, Left
from shoots.licences.cover import Reason
from shoots.releases.clearance import Clearance, Verdict
from shoots.uses.days import last_day
from shoots.uses.sentences import classes_in_words, media_in_words, territories_in_words
from shoots.uses.territory_tree import GROUPS, WORLD, FrozenGroup

LARGE_GROUP = 10
"""Groups of countries are named as such in words from this size on; a few countries are named one by one."""


@dataclass(frozen=True, slots=True)
class ClashInWords:
    """One licence that stands in the way: its number, holder (for studio pages only), what both claim, until when."""

    number: str
    holder: str
    sentence: str
    pk: int


def shared_in_words(classes: Iterable[str], media: Iterable[str], territories: Iterable[str]) -> str:
    """*advertising, website and social media, in Germany*."""
    places = set(territories)
    where = "worldwide" if WORLD in places else f"in {territories_in_words(places, 'en')}"
    return f"{classes_in_words(classes, 'en')}, {media_in_words(media, 'en')}, {where}"


def clash_sentence(clash: Clash, *, number: str, is_exclusive: bool) -> str:
    """*L-2026-014 holds this use exclusively until 28 Feb 2027: advertising, website, in Germany.*"""
    shared = shared_in_words(clash.classes, clash.media, clash.territories)
    until = f" until {formats.day(last_day(clash.shared_until), 'en')}" if clash.shared_until else " without end"
    if is_exclusive:
        return f"{number} holds this use exclusively{until}: {shared}."
    return f"{number} grants this use{until}, so nobody can have it alone before: {shared}."


def way_out(free_on: date | None, left: Iterable[Left] = ()) -> str:
    """What to do about a clash: from which day it is free, and what of it is free at once."""
    parts = [_left_in_words(each) for each in left]
    at_once = f" Free at once is the same {' or '.join(parts)}." if parts else ""
    if free_on is None:
        return f"It is never free as asked.{at_once} Leave out what is shared, or ask the other client to allow it."
    return (
        f"It is free from {formats.day(free_on, 'en')}.{at_once} Offer it from that day, or leave out what is shared."
    )


def _left_in_words(left: Left) -> str:
    """*without Germany* or *only in Austria*, whichever names less."""
    is_shorter_without = len(left.without) <= len(left.codes)
    codes = left.without if is_shorter_without else left.codes
    if left.part == "territories":
        return f"{'without' if is_shorter_without else 'only in'} {territories_in_words(codes, 'en')}"
    names = media_in_words(codes, "en") if left.part == "media" else classes_in_words(codes, "en")
    return f"{'without' if is_shorter_without else 'only for'} {names}"


def held_line(number: str, use: str, last: date | None, *, is_paid: bool) -> str:
    """*L-2026-001: own promotion, website, in Germany, until 30 Nov 2028*."""
    until = f"until {formats.day(last, 'en')}" if last else "without end"
    return f"{number}: {use[:1].lower()}{use[1:]}, {until}{'' if is_paid else ', once its fee is paid'}"


def held_sentence(who: str, lines: Iterable[str]) -> str:
    """*Walnut Lantern may do this already by licence L-2026-001: …*; empty without a licence."""
    said = list(lines)
    return f"{who} may do this already by licence {'; and by '.join(said)}." if said else ""


REASONS = {
    Reason.UNPAID: "the fee is not paid",
    Reason.CLASS: "another kind of use",
    Reason.MEDIUM: "a medium is missing",
    Reason.TERRITORY: "a territory is missing",
    Reason.TOO_EARLY: "use begins later",
    Reason.ENDED: "it ends too early",
    Reason.EMBARGO: "nothing may be shown yet",
    Reason.QUANTITY: "too few copies are left",
}


def reasons_in_words(reasons: Iterable[Reason]) -> str:
    """*a medium is missing and it ends too early*; empty where nothing stops the licence."""
    return formats.list_in_words([REASONS[reason] for reason in reasons], "en")


_NOTES = {
    "MISSING": "{who}: no release is signed",
    "SCOPE": "{who}: the release does not reach this use",
    "WITHDRAWN": "{who}: the release was withdrawn",
    "GUARDIAN": "{who}: a guardian has not signed",
}


def note_in_words(note: str, names: Mapping[str, str]) -> str:
    """A note of clearance as a sentence part. ``names`` maps the id of a person or thing to its name."""
    word, _colon, who = note.partition(":")
    if word == "NOT_ASSESSED":
        if who == "people":
            return "nobody has looked who can be recognised"
        if who == "properties":
            return "nobody has looked whose place or things can be recognised"
        return f"{names.get(who, who)}: recognisable or not is still open"
    return _NOTES[word].format(who=names.get(who, who))


def notes_in_words(notes: Iterable[str], names: Mapping[str, str]) -> str:
    """All notes, the first letter large: *Maro Lantadze: no release is signed; …*."""
    text = "; ".join(note_in_words(note, names) for note in notes)
    return with_capital(text)


EDITORIAL = "For editorial use that may pass; in some countries a portrait needs consent for it too"


def clearance_in_words(clearance: Clearance, names: Mapping[str, str]) -> str:
    """The notes, without a full stop; where editorial use passes with them, what that leaves open."""
    said = notes_in_words(clearance.notes, names)
    return f"{said}. {EDITORIAL}" if clearance.verdict is Verdict.CLEARED_WITH_NOTE else said


def groups_within(territories: Iterable[str], on: date) -> tuple[FrozenGroup, ...]:
    """The large groups of countries that a list of countries holds whole, to be named with their day; the largest first."""
    left, found = set(territories), []
    for group in sorted(GROUPS.values(), key=lambda each: -len(each.members)):
        known = group.since is None or group.since <= on
        if known and len(group.members) >= LARGE_GROUP and group.members <= left:
            found.append(FrozenGroup(group.name, on, group.members))
            left -= group.members
    return tuple(found)
