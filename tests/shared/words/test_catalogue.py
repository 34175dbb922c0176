from pathlib import Path

import pytest
from django.utils import translation

from shared.words import catalogue

ROOT = Path(__file__).resolve().parents[3]
GERMAN = ROOT / "shared/locale/de/LC_MESSAGES/django.po"


@pytest.fixture(scope="module")
def collected():
    return catalogue.collect(ROOT, catalogue.read(GERMAN, "de"))


def test_every_sentence_of_papers_and_client_pages_is_said_in_german(collected):
    missing = [
        entry.id for entry in collected if entry.id and not all(entry.string if entry.pluralizable else [entry.string])
    ]
    assert missing == []


def test_the_kept_catalogue_is_what_the_house_says_now(collected):
    assert catalogue.write_down(collected) == GERMAN.read_bytes(), "run python3 manage.py collect_words"


def test_a_translation_names_the_same_facts_as_its_sentence(collected):
    wrong = [entry.id for entry in collected if entry.id and list(entry.check())]
    assert wrong == []


def test_what_is_collected_is_said(tmp_path):
    (tmp_path / "templates").mkdir()
    (tmp_path / "templates/a.html").write_text(
        '{% load i18n %}{% translate "Way in" %}{% translate "of" context "page" %}'
    )
    (tmp_path / "shared").mkdir()
    (tmp_path / "shared/a.py").write_text('ngettext("one day", "%(n)s days", 2)')
    found = catalogue.collect(tmp_path)
    assert {(entry.context, entry.id) for entry in found if entry.id} == {
        (None, "Way in"),
        ("page", "of"),
        (None, ("one day", "%(n)s days")),
    }
    assert b"Way in" in catalogue.write_down(found)


def test_the_same_words_compile_to_the_same_bytes(collected):
    assert catalogue.compiled(collected) == catalogue.compiled(collected)


def test_german_is_spoken_where_it_is_chosen():
    with translation.override("de"):
        assert translation.gettext("Before VAT") == "Netto"
