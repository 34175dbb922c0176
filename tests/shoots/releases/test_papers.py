import subprocess

import pytest

from clients.models import Person
from shared.business.models import BusinessProfile
from shoots.releases.actions import print_to_sign, sign_beside_guardian, sign_release
from shoots.releases.models import Release
from tests.factories.releases import AT, SIGNATURE, offered_release, shoot_with_cook, signed_release


def read(pdf, tmp_path):
    path = tmp_path / "release.pdf"
    path.write_bytes(pdf)
    return " ".join(
        subprocess.run(["pdftotext", "-layout", path, "-"], capture_output=True, text=True, check=True).stdout.split()
    )


@pytest.fixture
def signed(db):
    return signed_release()


def test_the_paper_says_both_texts_who_signed_when_and_how_to_prove_it(signed, tmp_path):
    said = read(signed.paper.read_bytes(), tmp_path)
    assert "Erlaubnis, Ihr Bild zu nutzen" in said
    assert "Permission to use your picture" in said
    assert "own promotion of Walnut Lantern (website and social media)" in said
    assert "14. Nov. 2026, 08:30" in said  # 07:30 UTC is 08:30 in Lindhafen's zone
    assert signed.text_sha256[:20] in said.replace(" ", "")


def signed_by_name(release):
    return sign_release(
        release,
        text_sha256=release.text_sha256,
        signer_name="Maro Lantadze",
        capacity="self",
        typed_name="Maro Lantadze",
        is_of_full_age=True,
        via="here",
        at=AT,
    )


def test_a_typed_name_stands_where_the_signature_would(db, tmp_path):
    release = offered_release(first_language="en", second_language="", prevailing_language="en")
    signed = signed_by_name(release)
    said = read(signed.paper.read_bytes(), tmp_path)
    assert "Typed name, agreed to count as the signature" in said


def test_the_paper_names_those_whom_its_text_names_whatever_they_are_called_later(db, tmp_path):
    release = offered_release(first_language="en", second_language="", prevailing_language="en")
    Person.objects.filter(pk=release.person_id).update(name="Maro Brightwater")
    named = BusinessProfile.objects.get().legal_name
    BusinessProfile.objects.update(legal_name="Aldermoor Pictures")
    signed = signed_by_name(Release.objects.get(pk=release.pk))
    said = read(signed.paper.read_bytes(), tmp_path)
    assert named in said
    assert release.snapshot["who_or_what"] == "Maro Lantadze"
    assert "Brightwater" not in said
    assert "Aldermoor Pictures" not in said


def test_the_paper_is_tagged_whole_and_has_its_title(signed, tmp_path):
    path = tmp_path / "release.pdf"
    path.write_bytes(signed.paper.read_bytes())
    facts = subprocess.run(["pdfinfo", path], capture_output=True, text=True, check=True).stdout
    assert "Tagged:          yes" in facts
    assert f"Title:           Erlaubnis, Ihr Bild zu nutzen, {signed.number}" in facts
    assert subprocess.run(["qpdf", "--check", path], capture_output=True, check=False).returncode == 0


@pytest.mark.parametrize(
    ("language", "said"),
    [
        ("en", ["Maro Lantadze is under age on that day.", "Ilo Lantadze, as parent or guardian of Maro"]),
        ("de", ["Maro Lantadze ist an diesem Tag minderjährig.", "Ilo Lantadze, als Elternteil oder Vormund von Maro"]),
    ],
)  # fmt: skip
def test_the_paper_of_somebody_under_age_names_both(db, tmp_path, language, said):
    signed = signed_release(
        is_minor=True, guardian_name="Ilo Lantadze", first_language=language, second_language="",
        prevailing_language=language,
    )  # fmt: skip
    paper = read(signed.paper.read_bytes(), tmp_path)
    for words in said:  # the last one goes on in the next line of its column
        assert words in paper


@pytest.mark.parametrize(
    ("language", "said"),
    [
        ("en", ["Ilo Lantadze, as parent or guardian of Maro Lantadze", "Maro Lantadze, under age, beside the guardian", "Oda Fenwick, as witness"]),
        ("de", ["Ilo Lantadze, als Elternteil oder Vormund von Maro", "Maro Lantadze, minderjährig, neben dem Vormund", "Oda Fenwick, als Zeugin oder Zeuge"]),
    ],
)  # fmt: skip
def test_the_paper_shows_the_guardian_the_one_under_age_and_the_witness(db, tmp_path, language, said):
    release = offered_release(
        is_minor=True, guardian_name="Ilo Lantadze", minor_signs=True, asks_witness=True, first_language=language,
        second_language="", prevailing_language=language,
    )  # fmt: skip
    sign_beside_guardian(release, text_sha256=release.text_sha256, typed_name="Maro Lantadze", via="here", at=AT)
    signed = sign_release(
        release, text_sha256=release.text_sha256, signer_name="Ilo Lantadze", capacity="guardian", signature_path=SIGNATURE,
        witness_name="Oda Fenwick", is_of_full_age=True, via="here", at=AT,
    )  # fmt: skip
    paper = columns(signed.paper.read_bytes(), tmp_path)
    for words in said:
        assert words in paper


def columns(pdf, tmp_path):
    """The same paper read column by column."""
    path = tmp_path / "columns.pdf"
    path.write_bytes(pdf)
    return " ".join(subprocess.run(["pdftotext", path, "-"], capture_output=True, text=True, check=True).stdout.split())


@pytest.mark.parametrize(
    ("language", "said"),
    [
        ("en", ["Place, day and signature", "as the owner of this place", "Witness, of full age", "Code of this text"]),
        ("de", ["Ort, Tag und Unterschrift", "als Eigentümerin oder Eigentümer", "volljährig: Name in", "Code dieses Textes"]),
    ],
)  # fmt: skip
def test_the_print_to_sign_bears_the_text_its_code_and_lines_for_pens(db, tmp_path, language, said):
    shoot = shoot_with_cook()
    release = offered_release(
        shoot, kind="property", person=None, kitchen=shoot.kitchen, signer=shoot.people.get().person, asks_witness=True,
        first_language=language, second_language="de" if language == "en" else "en", prevailing_language=language,
    )  # fmt: skip
    paper = columns(print_to_sign(release), tmp_path)
    for text in release.snapshot["texts"]:
        for paragraph in text["paragraphs"]:
            assert " ".join(paragraph.split()) in paper
    for words in (*said, release.text_code, "Maro Lantadze"):
        assert words in paper
    assert release.text_sha256 in paper.replace(" ", "")
    assert release.text_code.replace(" ", "") == release.text_sha256[:12]
