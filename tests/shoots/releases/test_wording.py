from dataclasses import replace
from datetime import date

import pytest

from shared.words.formats import plain_spaces
from shoots.releases.wording import (
    ReleaseTermsInWords,
    ShootInWords,
    limits_in_words,
    release_paragraphs,
    release_title,
    text_hash,
)

COOK = ReleaseTermsInWords(
    is_property=False,
    signer="Maro Lantadze",
    photographer="Tindra Aldermoor",
    contact="tindra@aldermoor.example",
    shoot="Winter menu",
    first_on=date(2026, 11, 14),
    last_on=None,
    place="Lampwick Lane 4",
    house="Walnut Lantern",
    classes=frozenset({"advertising"}),
    media=frozenset({"web.own", "web.social"}),
    pictures_promised=3,
    languages=("de", "en"),
    prevailing="de",
)


def test_a_cooks_release_names_the_house_and_what_is_left_out():
    said = release_paragraphs(COOK, "en")
    assert said[1] == "For: own promotion of Walnut Lantern (website and social media), readable everywhere."
    assert "Not for: advertising by other firms, or sale through picture libraries." in said
    assert "Maro Lantadze gets 3 of the pictures for their own use." in said


def test_own_promotion_without_named_media_leaves_no_empty_brackets():
    said = release_paragraphs(replace(COOK, media=frozenset()), "en")
    assert said[1] == "For: own promotion of Walnut Lantern in its own media, readable everywhere."


@pytest.mark.parametrize(
    "change",
    [
        {},
        {"is_property": True, "thing": "the room"},
        {"house": "", "classes": frozenset(), "media": frozenset()},
        {"pictures_promised": 1},
        {"use_until": date(2031, 1, 1)},
        {"reach": "house", "reach_house": "Walnut Lantern"},
        {"reach": "all"},
        {"reach": "named", "shoots": (ShootInWords("A", None, None), ShootInWords("B", None, None))},
        {"use_from": date(2026, 4, 1)},
        {"is_property": True, "thing": "the room", "reach": "house", "reach_house": "Walnut Lantern"},
        {"is_property": True, "thing": "the room", "reach": "all"},
        {"is_minor": True, "thing": "Nino Lantadze", "signer": "Ilo Lantadze"},
    ],
)
def test_both_languages_have_the_same_paragraphs_in_the_same_order(change):
    terms = replace(COOK, **change)
    assert len(release_paragraphs(terms, "en")) == len(release_paragraphs(terms, "de"))


def test_the_last_day_is_printed_inclusive():
    assert "Until 31 Dec 2030 (last day). After that no new use is made." in [
        line.replace("\u00a0", " ") for line in release_paragraphs(replace(COOK, use_until=date(2031, 1, 1)), "en")
    ]


def test_the_prevailing_language_is_named_only_where_there_are_two():
    assert release_paragraphs(COOK, "de")[-1].endswith("gilt der deutsche Text.")
    alone = replace(COOK, languages=("en",), prevailing="en")
    assert "languages" not in release_paragraphs(alone, "en")[-1]


def test_a_property_release_has_its_own_title():
    assert release_title(replace(COOK, is_property=True), "en") == "Permission to show this place"


def test_one_changed_letter_changes_the_hash():
    texts = [("en", "Title", ("One.", "Two."))]
    assert (
        text_hash(texts) == "3c6c0fe27dc02010f2a7ec70a5d0fd39cb4ab81678532789f03cecdad1ab55fb"
    )  # by sha256sum of [["en","Title",["One.","Two."]]]
    assert text_hash(texts) != text_hash([("en", "Title", ("One.", "Two"))])


@pytest.mark.parametrize("is_property", [False, True])
def test_the_text_says_for_which_pictures_it_counts(is_property):
    def first(language, **also):
        terms = replace(COOK, is_property=is_property, thing="the room", reach_house="Walnut Lantern", **also)
        return release_paragraphs(terms, language)[0]

    assert "taken for “Winter menu”" in first("en")
    assert "other shoot" not in first("en")
    assert "every other shoot for Walnut Lantern, earlier or later" in first("en", reach="house")
    assert "aus jedem anderen Fototermin für Walnut Lantern" in first("de", reach="house")
    assert "every other shoot of Tindra Aldermoor" in first("en", reach="all")
    assert "aus jedem anderen Fototermin von Tindra Aldermoor" in first("de", reach="all")


@pytest.mark.parametrize(
    ("language", "said"),
    [
        ("en", ["Nino Lantadze is under age on that day.", "Ilo Lantadze signs as parent or guardian", "both, and from which age", "You or Nino Lantadze may ask later", "and the name of Nino Lantadze"]),
        ("de", ["Nino Lantadze ist an diesem Tag minderjährig.", "Ilo Lantadze unterschreibt als Elternteil oder Vormund", "ein Elternteil oder beide", "Sie oder Nino Lantadze dürfen später", "und der Name von Nino Lantadze"]),
    ],
)  # fmt: skip
def test_a_guardian_reads_for_whom_they_sign_and_that_the_law_differs(language, said):
    terms = replace(COOK, is_minor=True, thing="Nino Lantadze", signer="Ilo Lantadze", house="")
    text = " ".join(release_paragraphs(terms, language))
    for words in said:
        assert words in text
    for words in said:
        assert words not in " ".join(release_paragraphs(COOK, language))
    assert release_title(terms, language) != release_title(COOK, language)


SEVERAL = (
    ShootInWords("Spring menu", date(2026, 3, 2), None, "Lampwick Lane 4"),
    ShootInWords("Winter menu", date(2026, 11, 14), date(2026, 11, 15)),
)


@pytest.mark.parametrize(
    ("language", "said"),
    [
        ("en", "taken for these shoots: “Spring menu” (2 Mar 2026, Lampwick Lane 4) and “Winter menu” (14 Nov 2026 to 15 Nov 2026, the photographer’s studio)."),
        ("de", "„Spring menu“ (2. März 2026, Lampwick Lane 4) und „Winter menu“ (14. Nov. 2026 bis 15. Nov. 2026, im Studio)."),
    ],
)  # fmt: skip
@pytest.mark.parametrize("is_property", [False, True])
def test_several_shoots_are_each_named_with_day_and_place(language, said, is_property):
    terms = replace(COOK, reach="named", shoots=SEVERAL, is_property=is_property, thing="the room")
    first = plain_spaces(release_paragraphs(terms, language)[0])
    assert said in first
    assert is_property is ("the room" in first)


def test_the_limits_are_the_first_paragraphs_and_nothing_of_the_rest():
    terms = replace(COOK, use_from=date(2026, 4, 1), use_until=date(2031, 1, 1))
    limits = limits_in_words(terms, "en")
    assert limits == release_paragraphs(terms, "en")[: len(limits)]
    assert [plain_spaces(each) for each in limits[3:5]] == [
        "From 1 Apr 2026 on.",
        "Until 31 Dec 2030 (last day). After that no new use is made.",
    ]
    assert "cropped" not in " ".join(limits)


@pytest.mark.parametrize("language", ["en", "de"])
def test_the_text_calls_only_what_is_signed_on_a_screen_electronic(language):
    said = " ".join(release_paragraphs(COOK, language))
    assert {
        "en": "Signed on a screen, this is a simple electronic signature.",
        "de": "Auf einem Bildschirm unterschrieben",
    }[language] in said
