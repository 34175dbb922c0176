"""Snapshots of licences to print from, and the words that stand on a printed page."""

import subprocess
from dataclasses import replace
from datetime import date
from decimal import Decimal
from pathlib import Path

from shared.words.formats import plain_spaces
from shoots.licences.snapshot import LicenceShown, PictureShown, Released

BREAD = PictureShown("WL-1126-001", "Bread boat with egg yolk", "Bread boat, from above", "a" * 64, Released.NOBODY, Released.NOBODY)  # fmt: skip
COOK = PictureShown("WL-1126-002", "Hands tear the bread", "", "b" * 64, Released.RELEASED, Released.NOBODY)
AGREED = LicenceShown(
    number="L-2026-014", version=1, language="en", printed_on=date(2026, 11, 20), agreed_on=date(2026, 11, 20), is_demo=False,
    sender_name="Tindra Aldermoor Food Photography", sender_strapline="Food photography", sender_address=("Glover Yard 9", "24103 Lindhafen"),
    sender_footer=("tindra@aldermoor.example",), to=("Walnut Lantern", "Lampwick Lane 4", "10115 Lindhafen"),
    photographer="Tindra Aldermoor", licensee="Walnut Lantern", pays="", shoot="Winter menu", renews="", replaces="", replaced_by="",
    sentences=(
        "Own promotion of Walnut Lantern: website and menus, in Germany, from 1 Dec 2026 to 30 Nov 2028 (last day), not exclusive.",
        "Up to 5,000 copies may be made.",
        "Not included: giving the pictures to other firms, selling them, and changes beyond crop, size and correction of colour.",
        "Every right not named here stays with Tindra Aldermoor.",
    ),
    media="website and menus", territory="Germany", is_aimed=False, first_on=date(2026, 12, 1), last_on=date(2028, 11, 30), months=24,
    is_counted_anew=False, is_cut_short=False, embargo_until=None, begins="on_payment", begins_on=None, exclusivity="none",
    exclusive_last_on=None, exclusive_months=None, trade="restaurant", copies=5000, credit_line="© Tindra Aldermoor", fee=Decimal("1080.00"),
    currency="EUR", pictures=(BREAD, COOK), pictures_agreed=2, accepted_by="Maro Lantadze", signed_by="", words_sha256="c0ffee" * 10 + "c0ff",
    head_seq=7, head_hash="57249bbbc33c4d73" + "0" * 48,
)  # fmt: skip
UNPLACED = replace(
    AGREED, first_on=None, last_on=None, is_aimed=True, begins="on_delivery", copies=None, fee=None, pictures=(), pictures_agreed=6,
)  # fmt: skip


def read(pdf: bytes, folder: Path) -> str:
    """The words of a paper, blanks and line ends alike one space."""
    path = folder / "licence.pdf"
    path.write_bytes(pdf)
    text = subprocess.run(["pdftotext", path, "-"], capture_output=True, text=True, check=True).stdout
    return " ".join(plain_spaces(text).split())


def pages_of(folder: Path) -> int:
    """How many pages the paper read last has."""
    facts = subprocess.run(["pdfinfo", folder / "licence.pdf"], capture_output=True, text=True, check=True).stdout
    return int(facts.partition("Pages:")[2].split()[0])
