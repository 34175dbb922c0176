"""The frozen value that a letter about a use is printed from."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from shoots.licences.snapshot import Heading

ASKS = ("permission", "licence", "take_down")
"""What a letter may ask: tell us the permission you have, take a licence, take the picture down."""


@dataclass(frozen=True, slots=True)
class PictureSeen:
    """A picture that was seen. ``thumbnail`` is the SHA-256 of the kept file its frame is printed from."""

    number: str
    title: str
    alt_text: str
    thumbnail: str


@dataclass(frozen=True, slots=True)
class LicenceFound:
    """A licence of the user on a picture: its number, codes, days (both inclusive), and the reasons why it does not cover alone."""

    number: str
    classes: tuple[str, ...]
    media: tuple[str, ...]
    territories: tuple[str, ...]
    first_on: date
    last_on: date | None
    reasons: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ShotShown:
    """A screenshot that goes along: its name, the SHA-256 of its kept bytes, and of a copy to print (empty for a PDF)."""

    name: str
    sha256: str
    copy: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LetterShown(Heading):
    """Everything a letter says. ``covered_then`` is the answer as the licences stood on the day seen, ``covered_now`` on the day
    of the letter; both are kept with it and neither is printed as a claim.
    """

    user: str
    place: str
    link: str
    classes: tuple[str, ...]
    media: tuple[str, ...]
    territories: tuple[str, ...]
    seen_on: date
    since: date | None
    copies: int | None
    pictures: tuple[PictureSeen, ...]
    licences: tuple[LicenceFound, ...]
    shots: tuple[ShotShown, ...]
    asks: tuple[str, ...]
    answer_by: date
    covered_then: bool
    covered_now: bool
