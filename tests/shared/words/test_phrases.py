import re
from gettext import GNUTranslations
from pathlib import Path

import pytest
from babel.messages.pofile import read_po

from shared.words import catalogue
from shared.words.phrases import LICENCE_LANGUAGES, LOCALE, gettext_noop, licence_language, pgettext_noop, phrases_of

ROOT = Path(__file__).resolve().parents[3]
TRANSLATED = [language for language in LICENCE_LANGUAGES if language != "en"]
ONLY_LICENCES = [language for language in TRANSLATED if language != "de"]


def path_of(language):
    return LOCALE / language / "LC_MESSAGES" / "django.po"


def kept(language):
    with path_of(language).open("rb") as file:
        return [entry for entry in read_po(file, locale=language) if entry.id]


def places(text):
    return sorted(set(re.findall(r"\{\w+\}|%\(\w+\)s", text)))


@pytest.mark.parametrize("language", ONLY_LICENCES)
def test_every_sentence_of_a_licence_and_its_papers_is_kept_and_said(language):
    collected = catalogue.collect(
        ROOT, catalogue.read(path_of(language), language), language=language, places=catalogue.LICENCE_PLACES
    )
    assert catalogue.write_down(collected) == path_of(language).read_bytes(), "run python3 manage.py collect_words"
    assert [entry.id for entry in kept(language) if not entry.string or not all(entry.string)] == []


def test_a_licence_says_the_same_sentences_in_every_language():
    german = {(entry.context, entry.id) for entry in kept("de")}
    for language in ONLY_LICENCES:
        said = {(entry.context, entry.id) for entry in kept(language)}
        assert len(said) > 150
        assert said <= german


@pytest.mark.parametrize("language", TRANSLATED)
def test_a_translation_has_the_places_of_its_sentence(language):
    for entry in kept(language):
        if isinstance(entry.id, tuple):
            one, other = entry.id
            assert len(entry.string) == 2
            assert places(entry.string[1]) == places(other), entry.string
            assert set(places(entry.string[0])) <= set(places(other)), entry.string
            assert set(places(one)) <= set(places(entry.string[0])), entry.string
        else:
            assert places(entry.string) == places(entry.id), entry.string


QUOTES = {"de": "„“", "fr": "«»", "es": "«»", "it": "«»", "sv": "””"}
HELD = {"fr": r" [:;!?»]|« |\S[;!?]|\w:(?!\w)"}
"""What may not be typed: French holds its high marks and its quotes with hard spaces, or a line begins with a colon."""


def typeset_wrong(text, language):
    others = set("„“”«»\"'‘") - set(QUOTES[language])
    wrong = [mark for mark in text if mark in others]
    return wrong + re.findall(HELD[language], text) if language in HELD else wrong


@pytest.mark.parametrize("language", ONLY_LICENCES)
def test_quotes_and_spaces_are_those_of_the_language(language):
    for entry in kept(language):
        for text in entry.string if isinstance(entry.string, tuple) else [entry.string]:
            assert (
                typeset_wrong(text.replace("\u202f;", "").replace("\u202f!", "").replace("\u202f?", ""), language) == []
            ), text


def test_the_guard_sees_wrong_quotes_and_spaces():
    assert typeset_wrong("« tous »", "fr") == ["« ", " »"]
    assert typeset_wrong("Durée : un mois", "fr") == [" :"]
    assert typeset_wrong("“todo”", "es") == ["“", "”"]
    assert typeset_wrong("Durée\u00a0: «\u00a0tous\u00a0»", "fr") == []


LIKE_ENGLISH = {"Licence %(number)s", "Date", "Page", "brochures", "menu", "social media", "e-mail", "Medium"}
"""The same word in both languages; everything else that equals its English is not translated yet."""


@pytest.mark.parametrize("language", ONLY_LICENCES)
def test_nothing_is_left_in_english(language):
    same = [
        entry.id
        for entry in kept(language)
        if entry.string == entry.id and re.search(r"[a-z]{3}", re.sub(r"[{]\w+[}]|%\(\w+\)s", "", str(entry.id)))
    ]
    assert set(same) <= LIKE_ENGLISH


@pytest.mark.parametrize(
    ("language", "none", "one", "two"),
    [
        ("en", "It covers 0 pictures.", "It covers one picture.", "It covers 2 pictures."),
        ("de", "Die Lizenz umfasst 0 Bilder.", "Die Lizenz umfasst ein Bild.", "Die Lizenz umfasst 2 Bilder."),
        ("fr", "Elle porte sur une photo.", "Elle porte sur une photo.", "Elle porte sur 2 photos."),
        ("es", "Comprende 0 fotos.", "Comprende una foto.", "Comprende 2 fotos."),
        ("it", "Comprende 0 foto.", "Comprende una foto.", "Comprende 2 foto."),
        ("sv", "Den omfattar 0 bilder.", "Den omfattar en bild.", "Den omfattar 2 bilder."),
    ],
)
def test_the_form_follows_the_number(language, none, one, two):
    """French counts nought as one: Unicode CLDR, plural rules, in Babel. Nobody is granted nought pictures."""
    say = phrases_of(language)
    texts = [
        say.ngettext("It covers one picture.", "It covers {count} pictures.", n).format(count=n) for n in (0, 1, 2)
    ]
    assert texts == [none, one, two]


def test_an_unknown_language_is_english_and_a_region_is_its_language():
    assert [licence_language(each) for each in ("fr-CA", "sv_SE", "pl", "")] == ["fr", "sv", "en", "en"]
    assert phrases_of("pl").gettext("No fee is due.") == "No fee is due."
    assert isinstance(phrases_of("it").catalogue, GNUTranslations)


def test_a_mark_leaves_the_sentence_as_it_is():
    assert gettext_noop("No fee is due.") == pgettext_noop("a sense", "No fee is due.") == "No fee is due."
    assert phrases_of("sv").pgettext("medium", "menu") == "meny"


@pytest.mark.parametrize("language", TRANSLATED)
def test_nobody_is_told_of_a_buy_out(language):
    """The word has no agreed meaning, so no paper uses it: `DEVELOPERS.md`, words of a licence."""
    found = re.compile(r"buy[\s-]?out|rachat|total ?buy", re.IGNORECASE)
    for entry in kept(language):
        texts = [*(entry.id if isinstance(entry.id, tuple) else [entry.id])]
        texts += entry.string if isinstance(entry.string, tuple) else [entry.string]
        assert [text for text in texts if found.search(text)] == []
    assert found.search("a total buy-out")
