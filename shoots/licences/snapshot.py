"""The frozen value that a licence's paper is printed from."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum
from typing import Any

from shared.papers.kept import as_json
from shoots.releases.clearance import Clearance, Verdict


class Released(StrEnum):
    """What the paper says of the people, or the property, in a picture; never who they are."""

    NOBODY = "nobody"
    RELEASED = "released"
    EDITORIAL = "editorial"
    OPEN = "open"


@dataclass(frozen=True, slots=True)
class PictureShown:
    """A picture the licence covers. ``thumbnail`` is the SHA-256 of the kept file its frame is printed from."""

    number: str
    title: str
    alt_text: str
    thumbnail: str
    people: Released
    things: Released


@dataclass(frozen=True, slots=True, kw_only=True)
class Heading:
    """What every paper about licences begins with: its number, version and day, who writes (``photographer``: the legal name) and to
    whom. Addresses are lines. ``is_demo``: printed by the invented studio.
    """

    number: str
    version: int
    language: str
    printed_on: date
    is_demo: bool
    sender_name: str
    sender_strapline: str
    sender_address: tuple[str, ...]
    sender_footer: tuple[str, ...]
    to: tuple[str, ...]
    photographer: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LicenceShown(Heading):
    """Everything the paper says. ``sentences`` are the words as they were agreed; days are the first and the last, both inclusive.

    Without ``first_on`` the term runs ``months`` from payment or delivery (None: without end). ``is_counted_anew``: a later payment
    or delivery moves it. ``prevailing``: the words as accepted in another
    language, ``prevails_in``. ``fee`` is None where the shoot's invoice holds it. ``head_*`` is the evidence chain's last row.
    """

    agreed_on: date | None
    licensee: str
    pays: str
    shoot: str
    renews: str
    replaces: str
    replaced_by: str
    sentences: tuple[str, ...]
    media: str
    territory: str
    is_aimed: bool
    first_on: date | None
    last_on: date | None
    months: int | None
    is_counted_anew: bool
    is_cut_short: bool
    embargo_until: date | None
    begins: str
    begins_on: date | None
    exclusivity: str
    exclusive_last_on: date | None
    exclusive_months: int | None
    trade: str
    copies: int | None
    credit_line: str
    fee: Decimal | None
    currency: str
    pictures: tuple[PictureShown, ...]
    pictures_agreed: int
    accepted_by: str
    signed_by: str
    words_sha256: str
    head_seq: int
    head_hash: str
    prevails_in: str = ""
    prevailing: tuple[str, ...] = ()

    @property
    def is_offer(self) -> bool:
        """True while nothing is agreed: such a paper grants nothing and is not kept."""
        return self.agreed_on is None


OF_ITS_DAY = frozenset({
    "version", "printed_on", "head_seq", "head_hash", "sender_name", "sender_strapline", "sender_address", "sender_footer", "to",
})  # fmt: skip
"""What may differ between two printings of one licence without a new version: who wrote, to which address, when."""


ADDED_LATER: Mapping[str, Any] = {"prevails_in": "", "prevailing": []}
"""What older papers do not name, and mean by that."""


def says_the_same(kept: Mapping[str, Any], shown: LicenceShown) -> bool:
    """True when a kept paper still says what a fresh one would."""
    fresh, kept = as_json(shown), {**ADDED_LATER, **kept}
    return {name: kept.get(name) for name in fresh.keys() - OF_ITS_DAY} == {
        name: fresh[name] for name in fresh.keys() - OF_ITS_DAY
    }


def released(clearance: Clearance) -> Released:
    """What clearance found, asked of the people alone, or of the property alone: then the other status word says nothing."""
    if clearance.verdict is Verdict.CLEARED_WITH_NOTE:
        return Released.EDITORIAL
    if clearance.verdict is Verdict.NOT_CLEARED:
        return Released.OPEN
    is_nobody = clearance.model_release == "MR-NAP" and clearance.property_release == "PR-NAP"
    return Released.NOBODY if is_nobody else Released.RELEASED
