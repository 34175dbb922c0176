"""A snapshot of a letter to print from."""

from datetime import date

from shoots.found.snapshot import LetterShown, LicenceFound, PictureSeen, ShotShown

BREAD = PictureSeen("WL-1126-001", "Bread boat with egg yolk", "Bread boat, from above", "a" * 64)
STEW = PictureSeen("WL-1126-002", "Bean stew", "", "b" * 64)
LICENCE = LicenceFound(
    "L-2026-014", ("advertising",), ("web.own",), ("DE",), date(2025, 11, 1), date(2026, 10, 31), ("MEDIUM", "ENDED")
)
LETTER = LetterShown(
    number="F-2026-003", version=1, language="en", printed_on=date(2026, 11, 20), is_demo=False,
    sender_name="Tindra Aldermoor Food Photography", sender_strapline="Food photography", sender_address=("Glover Yard 9", "24103 Lindhafen"),
    sender_footer=("tindra@aldermoor.example",), to=("Fennel Yard", "Lampwick Lane 7", "10115 Lindhafen"), photographer="Tindra Aldermoor",
    user="Fennel Yard", place="Banner on a page about soup", link="https://fennelyard.example/soup?from=winter", classes=("advertising",),
    media=("web.display",), territories=("DE", "AT"), seen_on=date(2026, 11, 18), since=None, copies=None, pictures=(BREAD,),
    licences=(LICENCE,), shots=(ShotShown("banner.png", "c" * 64, "d" * 64), ShotShown("page.pdf", "e" * 64, "")),
    asks=("permission", "licence", "take_down"), answer_by=date(2026, 12, 4), covered_then=False, covered_now=False,
)  # fmt: skip
