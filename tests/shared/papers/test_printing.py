"""A printed paper is tagged, carries its fonts, is the same twice, and asks nobody for anything."""

import hashlib
import subprocess
import sys
import unicodedata
from datetime import UTC, datetime
from decimal import Decimal
from pathlib import Path

import pikepdf
import pytest
from fontTools.ttLib import TTFont

from shared.papers.letterhead import Letterhead, PaperLine
from shared.papers.printing import FONTS, picture_uri, print_paper, signature_uri

HERE = Path(__file__).resolve().parent
AT = datetime(2026, 11, 30, 12, tzinfo=UTC)
# The letters of the European languages written in Latin script, and those of Japanese and Māori names (from memory).
LETTERS = (
    "ÀÁÂÃÄÅÆÇÈÉÊËÌÍÎÏÐÑÒÓÔÕÖØÙÚÛÜÝÞßàáâãäåæçèéêëìíîïðñòóôõöøùúûüýþÿĀāĂăĄąĆćĊċČčĎďĐđĒēĖėĘęĚěĞğĠġĢģĦħĪīĮįİıĶķĹĺĻļĽľŁłŃńŅņŇňŌō"
    "ŐőŒœŔŕŘřŚśŞşŠšȘșŢţȚțŤťŪūŮůŰűŲųŴŵŶŷŸŹźŻżŽžẞ"
)
SENDER = Letterhead(
    "Tindra Aldermoor",
    "Food photography",
    ("Demo Street 1", "10115 Lindhafen"),
    ("Demo Street 1, 10115 Lindhafen", "VAT ID DE 000 000 000"),
)
LINES = (
    PaperLine(
        "Getting ready", "Recipe talk, choosing dishes and props, light plan", "4 h", "65.00 an hour", Decimal("260.00")
    ),
    PaperLine("Day on set", "", "1 day", "780.00 a day", Decimal("780.00")),
    PaperLine(
        "Finishing, 9 pictures",
        "25 minutes a picture: 9 × 25 min = 3.75 hours",
        "3.75 h",
        "60.00 an hour",
        Decimal("225.00"),
    ),
    PaperLine(
        "Licence, 9 pictures",
        "Own promotion. €40.00 a picture × 1.5 for two uses",
        "9 pictures",
        "60.00 a picture",
        Decimal("540.00"),
    ),
    PaperLine("Kitchen hand, at cost", "", "1 day", "190.00 a day", Decimal("190.00")),
    PaperLine(
        "Groceries and props, two receipts",
        "At cost, net of recoverable VAT",
        "",
        "",
        Decimal("64.80"),
        "at most 120.00",
    ),
    PaperLine("Travel", "23 km there, 23 km back", "46 km", "0.42 a km", Decimal("19.32")),
)


@pytest.fixture(autouse=True)
def specimen_templates(settings):
    engine = {**settings.TEMPLATES[0], "DIRS": [*settings.TEMPLATES[0]["DIRS"], HERE / "specimen"]}
    settings.TEMPLATES = [engine]


def specimen(lines=LINES, language="en", **more):
    total = sum(line.amount for line in lines)
    tax = (total * Decimal("0.19")).quantize(Decimal("0.01"))
    context = {
        "sender": SENDER,
        "to": ("Walnut Lantern", "Maro Lantadze", "Lampwick Lane 4", "10117 Lindhafen"),
        "facts": (
            ("Invoice", "2026-035"),
            ("Date", "30 November 2026"),
            ("Work done", "14 November 2026"),
            ("Your VAT ID", "DE 000 000 000"),
            ("Estimate", "E-2026-047, option B"),
        ),
        "mark": "Demo data, not an invoice",
        "lines": lines,
        "sums": (
            ("Before VAT", total),
            ("VAT 19% on the whole", tax),
            ("Paid on 29 October 2026, invoice 2026-030", Decimal("-1015.94")),
        ),
        "pay": ("To pay by 14 December 2026", total + tax - Decimal("1015.94")),
        "currency": "EUR",
        **more,
    }
    return print_paper(
        "specimen.html", context, language=language, title="Invoice 2026-035", at=AT, identifier="invoice 2026-035"
    )


def run(tool, data, tmp_path, *arguments):
    path = tmp_path / "paper.pdf"
    path.write_bytes(data)
    done = subprocess.run(
        [tool, *(str(path) if each == "PDF" else each for each in arguments)], capture_output=True, text=True
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


def long_list(count):
    return tuple(
        PaperLine(f"Dish {number}", "Plated, from above", "1 picture", "10.00 a picture", Decimal("10.00"))
        for number in range(1, count + 1)
    )


def test_a_paper_is_tagged_and_says_its_title_and_language(tmp_path):
    data = specimen()
    facts = run("pdfinfo", data, tmp_path, "PDF")
    assert "Tagged:          yes" in facts
    assert "Title:           Invoice 2026-035" in facts
    assert "Author:          Tindra Aldermoor" in facts
    assert "Page size:       595.276 x 841.89 pts (A4)" in facts
    run("qpdf", data, tmp_path, "--check", "PDF")
    with pikepdf.open(tmp_path / "paper.pdf") as pdf:
        assert str(pdf.Root.Lang) == "en-GB"
        assert pdf.Root.MarkInfo.Marked
        metadata = pdf.open_metadata()
        assert (metadata["pdfaid:part"], metadata["pdfaid:conformance"]) == ("3", "A")


def test_every_font_of_a_paper_is_one_of_ours_and_embedded(tmp_path):
    rows = run("pdffonts", specimen(signature=signature_uri("M10 200L300 40L590 180")), tmp_path, "PDF").splitlines()[
        2:
    ]
    assert rows
    for row in rows:
        name = row.split()[0].split("+")[-1]
        assert name.startswith("Plate-"), row
        assert row.split()[-5:-2] == ["yes", "yes", "yes"], row


def test_the_same_paper_is_the_same_bytes_in_this_process_and_in_another(tmp_path):
    first = specimen()
    assert specimen() == first
    code = (
        "import os; os.environ['DJANGO_SETTINGS_MODULE'] = 'tests.settings'\n"
        "import django; django.setup()\n"
        f"from django.conf import settings; settings.TEMPLATES[0]['DIRS'].append({str(HERE / 'specimen')!r})\n"
        "import hashlib\n"
        "from tests.shared.papers.test_printing import specimen\n"
        "print(hashlib.sha256(specimen()).hexdigest())"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, cwd=HERE.parents[2])
    assert done.stdout.strip() == hashlib.sha256(first).hexdigest(), done.stderr


def test_a_paper_takes_nothing_from_outside(tmp_path, caplog):
    secret = tmp_path / "secret.png"
    secret.write_bytes(b"\x89PNG\r\n\x1a\n")
    for address in (
        "https://walnutlantern.example/logo.png",
        secret.as_uri(),
        (HERE / "test_printing.py").as_uri(),
        "paper:/x.png",
    ):
        caplog.clear()
        data = specimen(outside=address)
        assert any("did not get it" in record.message for record in caplog.records), address
        assert b"/Subtype /Image" not in data


def test_the_lines_of_a_long_paper_repeat_their_head_and_carry_their_sum_over(tmp_path):
    text = run("pdftotext", specimen(long_list(22)), tmp_path, "-layout", "PDF", "-")
    pages = text.rstrip("\f").split("\f")
    assert len(pages) == 2
    assert all("What" in page and "Quantity" in page for page in pages)
    last_on_first = max(int(line.split()[1]) for line in pages[0].splitlines() if line.strip().startswith("Dish"))
    assert f"Carried over {last_on_first * 10}.00" in pages[1]
    assert "Carried over" not in pages[0]
    assert "Page 1 of 2" in pages[0]
    assert "Page 2 of 2" in pages[1]
    assert "Tindra Aldermoor, Invoice 2026-035" in pages[1]


def test_the_sum_to_pay_never_stands_on_a_page_without_a_line(tmp_path):
    pages_of_the_sum = set()
    for count in range(8, 14):
        pages = run("pdftotext", specimen(long_list(count)), tmp_path, "-layout", "PDF", "-").rstrip("\f").split("\f")
        (number,) = (number for number, page in enumerate(pages, 1) if "To pay by" in page)
        pages_of_the_sum.add(number)
        assert f"Dish {count}" in pages[number - 1]
        assert "Before VAT" in pages[number - 1]
    assert pages_of_the_sum == {1, 2}, "the counts must cross the end of a page"


def test_names_beyond_western_europe_are_read_back_as_they_were_written(tmp_path):
    text = run("pdftotext", specimen(), tmp_path, "PDF", "-")
    for name in ("Łucja", "Šarūnas", "Dvořák"):
        assert name in text
    assert not pdf_words_in_two_faces(tmp_path / "paper.pdf")


def pdf_words_in_two_faces(path):
    """Where a page changes the font inside one text object: a word torn between two files."""
    with pikepdf.open(path) as pdf:
        return [
            text
            for page in pdf.pages
            for text in page.Contents.read_bytes().split(b"\nBT\n")[1:]
            if text.split(b"\nET")[0].count(b" Tf") > 1
        ]


def test_a_name_typed_as_letters_and_marks_is_the_same_name_on_paper(tmp_path):
    apart = unicodedata.normalize("NFD", "Šarūnas Dvořák, Kōji Ōkami")
    text = run("pdftotext", specimen((PaperLine(apart, "", "", "", Decimal("1.00")),)), tmp_path, "PDF", "-")
    assert "Šarūnas Dvořák, Kōji Ōkami" in unicodedata.normalize("NFC", text)


def test_every_letter_of_a_name_is_in_the_same_file_as_the_others():
    """A letter from another file tears its word: Pango 1.56 then puts the letter together from a letter and a mark, and a reader copies both."""
    for path in FONTS.glob("*.ttf"):
        missing = set(LETTERS) - {chr(code) for code in TTFont(path).getBestCmap()}
        assert not missing, f"{path.name}: {''.join(sorted(missing))}"
    assert len(list(FONTS.glob("*.ttf"))) == (HERE.parents[2] / "shared/papers/papers.css").read_text().count(
        "@font-face"
    )


def test_a_german_paper_is_written_in_german_figures(tmp_path):
    text = run("pdftotext", specimen(language="de"), tmp_path, "-layout", "PDF", "-")
    assert "−1.015,94" in text
    assert "1.458,21 €" in text.replace("\u00a0", " ")


def test_a_picture_for_a_paper_is_png_or_jpeg():
    assert picture_uri(b"\x89PNG\r\n\x1a\nrest").startswith("data:image/png;base64,")
    with pytest.raises(ValueError, match="PNG and JPEG"):
        picture_uri(b"<svg/>")
