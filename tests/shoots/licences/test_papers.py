import subprocess
from dataclasses import replace
from datetime import date

import pytest
from django.utils import translation

from shared.papers.printing import picture_uri
from shared.words.formats import plain_spaces
from shoots.licences.papers import FRAMES_SHOWN, cleared, licence_pdf, terms
from shoots.licences.snapshot import Released
from tests.factories.pictures import grey_jpeg
from tests.shoots.licences.printed import AGREED, BREAD, COOK, UNPLACED, pages_of, read


def frames_of(shown):
    return {
        picture.number: picture_uri(grey_jpeg(480, 320, seed=place)) for place, picture in enumerate(shown.pictures)
    }


def drawn_on(folder):
    listed = subprocess.run(["pdfimages", "-list", folder / "licence.pdf"], capture_output=True, text=True, check=True)
    return sum(1 for line in listed.stdout.splitlines() if line.split()[2:3] == ["image"])


def term(shown, label):
    with translation.override(shown.language):
        return next(
            (plain_spaces(value), plain_spaces(remark)) for name, value, remark in terms(shown) if name == label
        )


def test_the_paper_says_who_what_where_and_both_days(tmp_path):
    said = read(licence_pdf(AGREED, frames=frames_of(AGREED)), tmp_path)
    for sentence in AGREED.sentences:
        assert sentence in said
    for fact in (
        "Licence L-2026-014", "Tindra Aldermoor Food Photography", "Lampwick Lane 4", "Winter menu", "1 Dec 2026", "30 Nov 2028", "Website and menus",
        "Germany", "5,000", "Not exclusive", "© Tindra Aldermoor", "When the fee is paid", "EUR 1,080.00 before VAT",
        "Maro Lantadze agreed for Walnut Lantern on 20 Nov 2026.", "WL-1126-001", "Bread boat with egg yolk", "WL-1126-002",
    ):  # fmt: skip
        assert fact in said
    assert said.count("1 Dec 2026") == 2  # in the words as agreed, and among the terms
    assert "1 Dec 2028" not in said  # the half-open end is nowhere printed
    assert AGREED.words_sha256 in said
    assert "row 7, 57249bbbc33c4d73" in said
    assert pages_of(tmp_path) <= 2
    assert drawn_on(tmp_path) == 2


def test_in_german_everything_but_names_is_german(tmp_path):
    german = replace(
        AGREED,
        language="de",
        sentences=("Eigenwerbung von Walnut Lantern: Website.", "Jedes hier nicht genannte Recht bleibt bei Tindra."),
        media="Website",
        territory="Deutschland",
        exclusivity="trade",
        exclusive_last_on=date(2027, 11, 30),
        trade="Gastronomie",
        signed_by="Tindra Aldermoor",
    )
    said = read(licence_pdf(german, frames=frames_of(german)), tmp_path)
    for fact in (
        "Lizenz L-2026-014", "Eigenwerbung von Walnut Lantern: Website.", "Erster Nutzungstag", "1. Dez. 2026", "Letzter Nutzungstag", "30. Nov. 2028",
        "Ausschließlich in der Branche (Gastronomie) bis einschließlich 30. Nov. 2027", "1.080,00 EUR netto", "Die Bilder", "Niemand ist zu erkennen",
        "Für diese Nutzung freigegeben", "Was vereinbart ist", "Seite 1 von",
    ):  # fmt: skip
        assert fact in said
    for word in ("First day", "Nobody", "agreed", "Page", "Fee"):
        assert word not in said


def test_before_there_are_pictures_one_page_says_that_they_come(tmp_path):
    said = read(licence_pdf(UNPLACED), tmp_path)
    assert "6 pictures of “Winter menu” are agreed. They are named here once they are chosen" in said
    assert "until then nothing may be used" in said
    assert "Counted from delivery" in said
    assert "24 months from the first day" in said
    assert "Billed with the shoot" in said
    assert "Market aimed at" in said
    assert "30 Nov 2028" not in said.replace(AGREED.sentences[0], "")
    assert pages_of(tmp_path) == 1


def test_more_pictures_than_a_page_holds_are_listed_by_number_and_title(tmp_path):
    many = replace(
        AGREED, pictures=tuple(replace(BREAD, number=f"WL-1126-{n:03}", title=f"Plate {n}") for n in range(1, 16))
    )
    frames = dict(list(frames_of(many).items())[:FRAMES_SHOWN])
    said = read(licence_pdf(many, frames=frames), tmp_path)
    assert drawn_on(tmp_path) == FRAMES_SHOWN
    assert "And these: WL-1126-013 Plate 13, WL-1126-014 Plate 14, WL-1126-015 Plate 15" in said
    assert pages_of(tmp_path) == 2


def test_a_picture_whose_file_is_lost_is_named_all_the_same(tmp_path):
    said = read(licence_pdf(AGREED), tmp_path)
    assert "WL-1126-001 Bread boat with egg yolk, WL-1126-002 Hands tear the bread" in said
    assert drawn_on(tmp_path) == 0


def test_an_offer_says_that_it_grants_nothing(tmp_path):
    offer = replace(AGREED, agreed_on=None, accepted_by="", words_sha256="", is_demo=True)
    said = read(licence_pdf(offer), tmp_path)
    assert "Licence offer L-2026-014" in said
    assert "Offer, grants nothing yet. Demo data, not a licence" in said
    assert "agreed for" not in said
    assert "SHA-256" not in said


def test_an_exclusive_licence_bears_the_photographers_name(tmp_path):
    sole = replace(AGREED, exclusivity="picture", signed_by="Tindra Aldermoor", version=3, renews="L-2024-002")
    said = read(licence_pdf(sole), tmp_path)
    assert "Tindra Aldermoor, signed by typed name, as an exclusive licence needs it" in said
    assert "20 Nov 2026, version 3, in place of earlier ones" in said
    assert "L-2024-002" in said


def test_the_paper_is_tagged_whole_and_has_its_title(tmp_path):
    pdf = licence_pdf(AGREED, frames=frames_of(AGREED))
    assert pdf == licence_pdf(AGREED, frames=frames_of(AGREED))
    path = tmp_path / "licence.pdf"
    path.write_bytes(pdf)
    facts = subprocess.run(["pdfinfo", path], capture_output=True, text=True, check=True).stdout
    assert "Tagged:          yes" in facts
    assert "Title:           Licence L-2026-014" in facts
    assert subprocess.run(["qpdf", "--check", path], capture_output=True, check=False).returncode == 0


LAST, FIRST, EXCLUSIVE = "Last day of use", "First day of use", "Exclusivity"
EARLY = "This day holds, whatever the agreed words say."


@pytest.mark.parametrize(
    ("label", "change", "said"),
    [
        (FIRST, {}, ("1 Dec 2026", "")),
        (FIRST, {"is_counted_anew": True}, ("1 Dec 2026", "If the fee is paid later, the term counts from that day.")),
        (FIRST, {"is_counted_anew": True, "begins": "on_delivery"}, ("1 Dec 2026", "If the pictures are delivered later, the term counts from that day.")),
        (FIRST, {"first_on": None}, ("Counted from payment", "")),
        (FIRST, {"first_on": None, "begins": "on_date", "begins_on": date(2027, 1, 4)}, ("4 Jan 2027", "")),
        (LAST, {"last_on": None}, ("Without end", "")),
        (LAST, {"last_on": None, "first_on": None}, ("24 months from the first day", "")),
        (LAST, {"last_on": None, "first_on": None, "months": None}, ("Without end", "")),
        (LAST, {"is_cut_short": True}, ("30 Nov 2028", f"Ended early. {EARLY}")),
        (LAST, {"is_cut_short": True, "replaced_by": "L-2026-020"}, ("30 Nov 2028", f"Ended early, L-2026-020 takes its place. {EARLY}")),
        ("Not to be shown before", {"embargo_until": date(2026, 12, 24)}, ("24 Dec 2026", "")),
        ("Territory", {"territory": ""}, ("Worldwide", "")),
        ("Market aimed at", {"is_aimed": True}, ("Germany", "")),
        ("Territory", {"is_aimed": True, "territory": ""}, ("Worldwide", "")),
        (EXCLUSIVE, {"exclusivity": "picture"}, ("Exclusive as long as the licence runs", "")),
        (EXCLUSIVE, {"exclusivity": "picture", "exclusive_last_on": date(2027, 11, 30)}, ("Exclusive up to and including 30 Nov 2027", "")),
        (EXCLUSIVE, {"exclusivity": "picture", "exclusive_months": 12, "first_on": None}, ("Exclusive for 12 months from the first day", "")),
        (EXCLUSIVE, {"exclusivity": "trade"}, ("Exclusive in its trade (restaurant) as long as the licence runs", "")),
        (EXCLUSIVE, {"exclusivity": "trade", "trade": "", "exclusive_last_on": date(2027, 11, 30)}, ("Exclusive in its trade (not named) up to and including 30 Nov 2027", "")),
        (EXCLUSIVE, {"exclusivity": "trade", "exclusive_months": 6, "first_on": None}, ("Exclusive in its trade (restaurant) for 6 months from the first day", "")),
        ("Use begins", {"begins": "on_date"}, ("On the first day", "")),
        ("Use begins", {"begins": "on_date", "begins_on": date(2026, 12, 1)}, ("1 Dec 2026", "")),
        ("Fee", {"fee": AGREED.fee * 0}, ("No fee", "")),
        ("Paid by", {"pays": "Larkspur Agency"}, ("Larkspur Agency", "")),
    ],
)  # fmt: skip
def test_the_terms_at_a_glance(label, change, said):
    assert term(replace(AGREED, **change), label) == said


def test_a_term_that_says_nothing_has_no_line():
    with translation.override("en"):
        names = {name for name, _value, _remark in terms(replace(AGREED, copies=None, credit_line=""))}
    assert not names & {"Copies at most", "Credit line", "Not to be shown before", "Paid by"}


def test_people_and_things_are_told_of_all_pictures_or_of_those_it_is_true_of():
    with translation.override("en"):
        (_, people), (_, things) = cleared((BREAD, COOK), "en")
        assert things == ["No place or thing of others can be recognised."]
        assert people == ["Nobody can be recognised: WL-1126-001.", "Released for this use: WL-1126-002."]
        limited = (replace(BREAD, people=Released.EDITORIAL, things=Released.OPEN),)
        (_, people), (_, things) = cleared(limited, "en")
        assert people == ["Not released, for editorial use only."]
        assert things == ["No release reaches this use, ask first."]
        assert cleared((), "en") == []


@pytest.mark.parametrize(("count", "copies"), [(1, None), (4, None), (5, None), (4, 5000)])
def test_the_end_of_the_paper_never_stands_alone_on_a_page(count, copies, tmp_path):
    pictures = tuple(replace(BREAD, number=f"WL-1126-{n:03}") for n in range(1, count + 1))
    some = replace(AGREED, copies=copies, pictures=pictures)
    said = read(licence_pdf(some, frames=frames_of(some)), tmp_path)
    last = said.partition("Page 1 of 2")[2]
    assert "Who and what they show" in last
    assert f"WL-1126-{count:03} Bread boat with egg yolk" in last


@pytest.mark.parametrize(
    ("language", "name", "counts"),
    [
        ("de", "Deutsch", "gilt der englische:"), ("fr", "Français", "le texte anglais fait foi :"), ("es", "Español", "prevalece el texto inglés:"),
        ("it", "Italiano", "prevale il testo inglese:"), ("sv", "Svenska", "gäller den engelska texten:"),
    ],
)  # fmt: skip
def test_two_languages_stand_side_by_side_and_the_one_that_counts_is_named(language, name, counts, tmp_path):
    here = ("Hier 1.", "Hier 2.", "Hier 3.")
    shown = replace(AGREED, language=language, sentences=here, prevails_in="en", prevailing=AGREED.sentences)
    said = read(licence_pdf(shown, frames=frames_of(shown)), tmp_path)
    assert counts in said
    for sentence in (*AGREED.sentences, *here, name, "English"):
        assert sentence in said
    rows = subprocess.run(
        ["pdftotext", "-layout", tmp_path / "licence.pdf", "-"], capture_output=True, text=True, check=True
    ).stdout
    assert any("Hier 2." in row and "Up to 5,000 copies" in row for row in rows.splitlines())
