import re
import subprocess
from dataclasses import replace
from datetime import date

import pytest
from django.utils import translation

from shared.papers.printing import picture_uri
from shared.words.phrases import LICENCE_LANGUAGES
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
    r"damages|\bcourt\b|legal|lawyer|infring|fine|penalt|Schadenersatz|Schadensersatz|Gericht|Anwalt|Abmahn|Verletzung|Klage|\bEUR\b|€"
    r"|tribunal|juridi|giuridi|avocat|abogad|avvocat|advokat|domstol|domma?ges|daños|danni|skadestånd|amende|multa|infracción|violazione|intrång|plainte|demanda", re.IGNORECASE
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


@pytest.mark.parametrize(
    ("language", "facts"),
    [
        ("fr", ("Utilisation de mes photos", "Bonjour,", "Le 18 nov. 2026, je les ai vues", "Publicité en ligne", "Autriche et Allemagne", "Licence L-2026-014", "du 1er nov. 2025 au 31 oct. 2026",
                "Elle ne nomme pas ce média.", "au plus tard le 4 déc. 2026", "Pièces jointes : banner.png, page.pdf", "Cordialement")),
        ("es", ("Uso de fotos mías", "Buenos días:", "El 18 nov 2026 las vi", "Publicidad en línea", "Austria y Alemania", "Licencia L-2026-014", "del 1 nov 2025 al 31 oct 2026",
                "No nombra este medio.", "a más tardar el 4 dic 2026", "Adjuntos: banner.png, page.pdf", "Un cordial saludo")),
        ("it", ("Uso di mie foto", "Buongiorno,", "Il giorno 18 nov 2026 le ho viste", "Pubblicità online", "Austria e Germania", "Licenza L-2026-014", "1 nov 2025 – 31 ott 2026",
                "Non indica questo mezzo.", "entro il giorno 4 dic 2026", "Allegati: banner.png, page.pdf", "Cordiali saluti")),
        ("sv", ("Användning av mina bilder", "Hej,", "Den 18 nov. 2026 såg jag dem", "Annonser på nätet", "Österrike och Tyskland", "Licens L-2026-014", "1 nov. 2025 till 31 okt. 2026",
                "Den anger inte detta medium.", "senast den 4 dec. 2026", "Bilagor: banner.png, page.pdf", "Vänliga hälsningar")),
    ],
)  # fmt: skip
def test_in_the_other_languages_of_a_licence_everything_but_names_is_in_it(language, facts, tmp_path):
    shown = replace(LETTER, language=language, pictures=(LETTER.pictures[0], STEW))
    said = read(letter_pdf(shown, frames=FRAMES), tmp_path)
    assert [fact for fact in facts if fact not in said] == []
    for word in ("Seen", "picture", "Please", "Kind regards", "Page 1 of", "answer", "Where", "records", "Attached"):
        assert word not in said
    assert pages_of(tmp_path) <= 2
    assert not THREATS.findall(said)


@pytest.mark.parametrize("language", LICENCE_LANGUAGES)
def test_every_reason_has_its_sentence_in_every_language(language):
    with translation.override(language):
        said = [REASONS[reason]() for reason in Reason]
    assert len(set(said)) == len(Reason)
    with translation.override("en"):
        assert language == "en" or not set(said) & {REASONS[reason]() for reason in Reason}
