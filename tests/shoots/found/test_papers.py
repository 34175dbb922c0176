import re
import subprocess
from dataclasses import replace
from datetime import date

import pytest
from django.utils import translation

from shared.papers.printing import picture_uri
from shoots.found.papers import REASONS, asks_in_words, letter_pdf, seen_rows
from shoots.licences.cover import Reason
from tests.factories.found import screenshot
from tests.factories.pictures import grey_jpeg
from tests.shoots.found.letters import LETTER, STEW
from tests.shoots.licences.printed import pages_of, read

FRAMES = {
    "a" * 64: picture_uri(grey_jpeg(480, 320)),
    "b" * 64: picture_uri(grey_jpeg(480, 320, seed=1)),
    "d" * 64: picture_uri(screenshot()),
}
THREATS = re.compile(
    r"damages|court|legal|lawyer|infring|fine|penalt|Schadenersatz|Schadensersatz|Gericht|Anwalt|Abmahn|Verletzung|Klage|EUR|€", re.IGNORECASE
)  # fmt: skip


def drawn_on(folder):
    listed = subprocess.run(["pdfimages", "-list", folder / "licence.pdf"], capture_output=True, text=True, check=True)
    return sum(1 for line in listed.stdout.splitlines() if line.split()[2:3] == ["image"])


def test_the_letter_says_what_was_seen_what_the_records_say_and_what_is_asked(tmp_path):
    said = read(letter_pdf(LETTER, frames=FRAMES), tmp_path)
    for fact in (
        "A picture of mine in use", "F-2026-003/1", "Fennel Yard", "Lampwick Lane 7", "On 18 Nov 2026 I saw it in use", "Banner on a page about soup",
        "Online advertising", "Austria and Germany", "WL-1126-001", "Bread boat with egg yolk", "L-2026-014", "1 Nov 2025", "31 Oct 2026",
        "It does not name this medium.", "Its last day was earlier.", "Please answer by 4 Dec 2026", "tell me who gave it", "offer for a licence",
        "take it down", "banner.png", "page.pdf", "Tindra Aldermoor",
    ):  # fmt: skip
        assert fact in said
    assert "https://fennelyard.example/soup?from=winter" in said.replace("\u00ad", "")
    assert drawn_on(tmp_path) == 2
    assert pages_of(tmp_path) <= 2
    assert not THREATS.findall(said)


def test_in_german_everything_but_names_is_german(tmp_path):
    german = replace(LETTER, language="de", pictures=(LETTER.pictures[0], STEW))
    said = read(letter_pdf(german, frames=FRAMES), tmp_path)
    for fact in (
        "Bilder von mir in Verwendung", "Guten Tag", "18. Nov. 2026", "Online-Werbung", "Österreich und Deutschland", "Lizenz L-2026-014",
        "Bitte antworten Sie bis 4. Dez. 2026", "Freundliche Grüße",
    ):  # fmt: skip
        assert fact in said
    for word in ("Seen", "picture", "Please", "Licence", "Medium:", "Kind regards", "Page", "answer", "Where"):
        assert word not in said
    assert not THREATS.findall(said)


def test_without_a_licence_it_says_so_and_claims_no_more(tmp_path):
    said = read(letter_pdf(replace(LETTER, licences=(), shots=()), frames=FRAMES), tmp_path)
    assert "I find no licence of Fennel Yard for this picture." in said
    assert "As seen" not in said


def test_only_what_is_asked_stands_there():
    with translation.override("en"):
        assert len(asks_in_words(LETTER)) == 3
        assert len(asks_in_words(replace(LETTER, asks=("take_down",)))) == 1


def test_what_is_not_known_has_no_row():
    with translation.override("en"):
        labels = [label for label, _ in seen_rows(replace(LETTER, link=""))]
        assert "Address" not in labels
        more = dict(seen_rows(replace(LETTER, since=date(2026, 11, 1), copies=1200)))
    assert more["Copies seen"] == "1,200"
    assert "In use since, as far as known" in more


@pytest.mark.parametrize("language", ["en", "de"])
def test_every_reason_has_its_sentence_in_both_languages(language):
    with translation.override(language):
        said = [REASONS[reason]() for reason in Reason]
    assert len(set(said)) == len(Reason)
    with translation.override("en"):
        assert language == "en" or not set(said) & {REASONS[reason]() for reason in Reason}
