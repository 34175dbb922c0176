"""The answers and the changes in plain sentences for the photographer. Screens are English."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from shared.words import formats
from shared.words.formats import with_capital
from shoots.asking.answers import Answer, Asked, Found
from shoots.asking.changes import Change, Place
from shoots.licences.conflicts import Clash
from shoots.licences.cover import Cover
from shoots.licences.wording import clash_sentence, clearance_in_words, held_sentence, reasons_in_words
from shoots.uses.days import last_day
from shoots.uses.sentences import classes_in_words, media_in_words, territories_in_words
from shoots.uses.shipped import IN_FORCE
from shoots.uses.trees import Tree

LOOKS = {Answer.YES: "done", Answer.NOT_YET: "now", Answer.NO: "look"}
WORDS = {Answer.YES: "Yes", Answer.NOT_YET: "Not yet", Answer.NO: "No"}


@dataclass(frozen=True, slots=True)
class Rival:
    """Who holds a licence: for sentences, by its id."""

    number: str
    holder: str
    is_exclusive: bool


@dataclass(frozen=True, slots=True)
class Names:
    """What the ids in an answer stand for: people and things, licences, each shoot's client and title."""

    subjects: Mapping[str, str]
    rivals: Mapping[str, Rival]
    shoots: Mapping[str, tuple[str, str]]
    buyer: str


def why(found: Found, clashes: Iterable[Clash], names: Names, *, shoot: str) -> list[str]:
    """A sentence for each thing that stands in the way, rivals first, then the shoot's client, then releases."""
    sentences = []
    for clash in clashes:
        rival = names.rivals[clash.held]
        said = clash_sentence(clash, number=rival.number, is_exclusive=rival.is_exclusive)
        sentences.append(f"{rival.holder}: {said}")
    client, title = names.shoots[shoot]
    if not found.is_agreed:
        if found.agreed_from is None:
            sentences.append(f"{client} had {title} photographed and has not agreed to a sale to {names.buyer}.")
        else:
            day = formats.day(found.agreed_from, "en")
            sentences.append(f"{client} agreed to sales to others from {day} on.")
    if (found.rivals or not found.is_agreed) and found.free_from is not None:
        sentences.append(f"Free as asked from {formats.day(found.free_from, 'en')}.")
    elif found.rivals and found.free_from is None and found.is_agreed:
        sentences.append("It is never free as asked.")
    if found.clearance.notes:
        sentences.append(f"{clearance_in_words(found.clearance, names.subjects)}.")
    return sentences


def what_they_hold(cover: Cover, names: Names, numbers: Mapping[str, str], lines: Mapping[str, str]) -> str:
    """What the buyer's own licences cover of the use; empty where they hold none. ``lines``: each licence with its use and last day."""
    if cover.is_covered:
        alone = [lines[key] for key, reasons in cover.reasons.items() if not set(reasons) - {"UNPAID"}]
        return held_sentence(names.buyer, alone[:1] or [lines[key] for key in cover.reasons])
    if cover.has_no_grant:
        return ""
    parts = [f"{numbers[key]} ({reasons_in_words(reasons)})" for key, reasons in cover.reasons.items() if reasons]
    return f"{names.buyer} holds a part: {formats.list_in_words(parts, 'en')}." if parts else ""


def change_in_words(change: Change, asked: Asked, names: Names) -> str:
    """*begin on 1 Jun 2027*, *leave out Germany*, *ask Maro Lantadze for a release*."""
    match change.place:
        case Place.FIRST if change.day:
            return f"begin on {formats.day(change.day, 'en')}"
        case Place.END if change.day:
            return f"end on {formats.day(last_day(change.day), 'en')}"
        case Place.MEDIA:
            return f"leave out {media_in_words(_dropped(IN_FORCE.media, asked.media, change.codes), 'en')}"
        case Place.TERRITORIES:
            dropped = _dropped(IN_FORCE.territories, asked.territories, change.codes)
            return f"leave out {territories_in_words(dropped, 'en')}"
        case Place.CLASSES:
            return f"leave out {classes_in_words(asked.classes - set(change.codes), 'en')}"
        case Place.EXCLUSIVITY:
            return "shut nobody out"
        case Place.RELEASE:
            return f"get a release for {names.subjects.get(change.who, change.who)}"
        case Place.COMMISSION:
            client, title = names.shoots.get(change.who, ("the client", "the shoot"))
            return f"ask {client} to allow it for {title}"
        case _:
            return "look at the picture and say who and what can be recognised (a yes if nobody and nothing is)"


def changes_in_words(changes: Iterable[Change], asked: Asked, names: Names) -> str:
    """All changes of a set as one sentence: *Begin on 1 Jun 2027 and leave out Germany*."""
    said = " and ".join(change_in_words(change, asked, names) for change in changes)
    return with_capital(said)


def _dropped(tree: Tree, before: frozenset[str], after: tuple[str, ...]) -> tuple[str, ...]:
    return tree.names(tree.mask(before) & ~tree.mask(frozenset(after)))
