"""A wish for a release as the address of its form: who or what, and for which uses, so that whoever needs one asks with a press."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from contextlib import suppress
from dataclasses import dataclass
from datetime import date
from typing import Any, Protocol

Pairs = list[tuple[str, str]]
MOST_CODES = 60
"""So many codes of a list are read from an address."""


class Address(Protocol):
    """What a page's address gives: each name may stand there several times."""

    def get(self, name: str, default: str = "") -> str | None: ...

    def getlist(self, name: str) -> list[str]: ...


@dataclass(frozen=True, slots=True, kw_only=True)
class WantedUses:
    """The uses a release is asked for. `is_house`: own promotion of the shoot's house. `last_on`: the last day, None without an end."""

    is_house: bool
    classes: frozenset[str] = frozenset()
    media: frozenset[str] = frozenset()
    territories: frozenset[str] = frozenset()
    last_on: date | None = None


def address_pairs(about: Mapping[str, str], uses: WantedUses, shoots: Iterable[int] = ()) -> Pairs:
    """The wish as names and values of an address. ``shoots``: the keys of others that the same release should name."""
    pairs = [*about.items(), ("scope", "house" if uses.is_house else "named")]
    if not uses.is_house:
        pairs += [("class", code) for code in sorted(uses.classes)]
        pairs += [("territory", code) for code in sorted(uses.territories - {"world"})]
    pairs += [("medium", code) for code in sorted(uses.media)]
    if uses.last_on is not None:
        pairs.append(("last_on", uses.last_on.isoformat()))
    return pairs + [("also", str(key)) for key in sorted(shoots)]


def uses_asked(address: Address) -> dict[str, Any]:
    """The same read back, as the form's first choices; what cannot be read is passed over, and an address without a scope says nothing."""
    scope = address.get("scope")
    if scope not in ("house", "named"):
        return {}
    found: dict[str, Any] = {"scope": scope, "media": address.getlist("medium")[:MOST_CODES]}
    if scope == "named":
        found["classes"] = address.getlist("class")[:MOST_CODES]
        found["territories"] = address.getlist("territory")[:MOST_CODES]
    with suppress(ValueError):
        found["last_on"] = date.fromisoformat(address.get("last_on") or "")
    also = [
        int(key) for key in address.getlist("also")[:MOST_CODES] if key.isascii() and key.isdecimal() and len(key) < 15
    ]
    if also:
        found |= {"reach": "named", "also_for": also}
    return found
