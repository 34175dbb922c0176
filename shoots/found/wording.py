"""The answer about a use seen in the wild, in sentences for the photographer. Screens are English."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta

from shared.words import formats
from shared.words.formats import with_capital
from shoots.found.verdict import Held, Seen
from shoots.licences.cover import Reason
from shoots.licences.states import State
from shoots.uses.days import last_day
from shoots.uses.intended import Use
from shoots.uses.sentences import classes_in_words, media_in_words, territories_in_words
from shoots.uses.shipped import IN_FORCE

MISSING = {
    "pictures": "which picture it is",
    "classes": "what kind of use it is",
    "media": "in which medium",
    "territories": "for which market it is meant",
}


def missing_in_words(missing: Iterable[str]) -> str:
    """*which picture it is and in which medium*."""
    return formats.list_in_words([MISSING[name] for name in missing], "en")


def missing_parts(held: Held, use: Use) -> tuple[tuple[str, ...], tuple[str, ...], tuple[str, ...]]:
    """Classes, media and territories (codes) that the use has and the licence does not grant."""
    media, territories = IN_FORCE.media, IN_FORCE.territories
    return (
        tuple(sorted(use.classes - held.grant.classes)),
        media.names(media.mask(use.media) & ~media.mask(held.grant.media)),
        territories.names(territories.mask(use.territories) & ~territories.mask(held.grant.territories)),
    )


def reason_sentences(held: Held, use: Use, reasons: Iterable[Reason]) -> tuple[str, ...]:
    """Why a licence does not cover a use alone, a sentence a reason, with what it lacks."""
    return tuple(_sentence(reason, held, use) for reason in reasons)


def _sentence(reason: Reason, held: Held, use: Use) -> str:
    grant = held.grant
    classes, media, territories = missing_parts(held, use)
    match reason:
        case Reason.UNPAID:
            return _unpaid(held)
        case Reason.CLASS:
            return f"It is no licence for this kind of use: {classes_in_words(classes, 'en')}."
        case Reason.MEDIUM:
            return f"It does not reach this medium: {media_in_words(media, 'en')}."
        case Reason.TERRITORY:
            return f"It does not reach this market: {territories_in_words(territories, 'en')}."
        case Reason.TOO_EARLY:
            return f"Use begins on {_day(grant.covered_from)}; it was in use on {_day(use.use_from)}."
        case Reason.ENDED:
            end = grant.covered_until
            return f"Its last day was {_day(last_day(end))}." if end else "It ended before."
        case Reason.EMBARGO:
            until = grant.embargo_until
            return f"Nothing may be shown before {_day(until)}." if until else "Nothing may be shown yet."
        case Reason.QUANTITY:
            return f"{max(grant.copies_left or 0, 0):,} copies are left; {use.copies or 0:,} were seen."


def _unpaid(held: Held) -> str:
    if held.grant.state is State.OFFERED:
        return "It was offered and nobody has agreed to it."
    if held.grant.is_covering:
        return "Its fee is not paid. It covers all the same, as agreed."
    return "Its fee is not paid, and use begins only after that."


def unknown_sentences(seen: Seen, *, are_copies_open: bool) -> tuple[str, ...]:
    """What the answer cannot know."""
    said = []
    if are_copies_open:
        said.append("How many copies were made is not known, so a limit of copies was not checked.")
    if seen.since is None:
        said.append("Since when it is in use is not known: only the day it was seen was checked.")
    if seen.user is None:
        said.append(
            "The user is no client in the books. Whether they use it for a client, or under another name, cannot be seen here."
        )
    said.append("Permission given by word of mouth or outside these books is not known here.")
    return tuple(said)


def seen_in_words(seen: Seen) -> str:
    """*1 Nov 2026 to 20 Nov 2026*, or the one day."""
    if seen.since is None or seen.since == seen.seen_on:
        return _day(seen.seen_on)
    return formats.days(seen.since, seen.seen_on, "en")


def use_seen_in_words(seen: Seen) -> str:
    """*Advertising: website, Germany*; what is not known is left out."""
    kind = classes_in_words(seen.classes, "en") if seen.classes else ""
    rest = [
        media_in_words(seen.media, "en") if seen.media else "",
        territories_in_words(seen.territories, "en") if seen.territories else "",
    ]
    text = ": ".join(part for part in (kind, ", ".join(each for each in rest if each)) if part)
    return with_capital(text)


def first_answer_day(on: date) -> date:
    """Two weeks to answer a letter: common practice, no source."""
    return on + timedelta(days=14)


def _day(day: date) -> str:
    return formats.day(day, "en")
