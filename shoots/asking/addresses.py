"""A question as the address of the page that answers it, so that each offered change is a link that asks again."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from shoots.asking.changes import ASKED_OF_OTHERS, Change, Place

Pairs = list[tuple[str, str]]


class InvalidPick(ValueError):
    """Pictures handed in that cannot be read."""


def read_pictures(handed_in: Iterable[str]) -> list[int]:
    """The keys in `pictures=1,2&pictures=3`, each once, in their order. Raises InvalidPick."""
    keys: dict[int, None] = {}
    for word in ",".join(handed_in).split(","):
        if not word.strip():
            continue
        if not (word.strip().isascii() and word.strip().isdecimal()) or len(word.strip()) > 15:
            raise InvalidPick(f"“{word.strip()[:40]}” names no picture. Tick pictures, or choose a shoot.")
        keys[int(word)] = None
    return list(keys)


def pictures_word(keys: Iterable[int]) -> str:
    """The keys as one value of an address."""
    return ",".join(str(key) for key in keys)


def suppose_word(change: Change) -> str:
    """What is supposed to be there already: `release:12`, `commission:4`, `look:`."""
    return f"{change.place.value}:{change.who}"


def read_supposed(words: Iterable[str]) -> tuple[Change, ...]:
    """The supposed changes that an address names; what cannot be read is passed over, so that no yes comes of it."""
    found: dict[Change, None] = {}
    for word in words:
        place, _colon, who = word.partition(":")
        if place in {each.value for each in ASKED_OF_OTHERS} and len(who) < 40:
            found[Change(Place(place), who=who)] = None
    return tuple(found)


def day_word(day: date | None) -> str:
    """A day as the address writes it."""
    return day.isoformat() if day else ""
