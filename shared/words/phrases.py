"""Sentences in the languages a licence can be agreed in, from the catalogues that ship with the program.

A catalogue is data like CLDR's names of countries: compiled by ``manage.py collect_words``, the same for every studio, read once.
Templates name their places in braces; whoever says a sentence fills them.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from gettext import GNUTranslations, NullTranslations
from pathlib import Path

LICENCE_LANGUAGES: Mapping[str, str] = {
    "en": "English", "de": "Deutsch", "fr": "Français", "es": "Español", "it": "Italiano", "sv": "Svenska",
}  # fmt: skip
"""Languages of a licence, its certificate and its letters, each by its own name. Other papers are in English and German."""

LOCALE = Path(__file__).resolve().parent.parent / "locale"


@dataclass(frozen=True, slots=True)
class Phrases:
    """The sentences of one language; what is not translated stands in English."""

    language: str
    catalogue: NullTranslations

    def gettext(self, text: str) -> str:
        """The sentence in this language."""
        return self.catalogue.gettext(text)

    def pgettext(self, context: str, text: str) -> str:
        """The name in this language, in its sense."""
        return self.catalogue.pgettext(context, text)

    def ngettext(self, one: str, other: str, count: int) -> str:
        """The sentence in the form the count wants."""
        return self.catalogue.ngettext(one, other, count)


def gettext_noop(text: str) -> str:
    """The sentence as it is: marks it for translators where it is kept, not said."""
    return text


def pgettext_noop(_context: str, text: str) -> str:
    """The name as it is: marks it for translators where it is kept, not said."""
    return text


def licence_language(language: str) -> str:
    """The nearest language a licence can be in: fr-CA is fr, anything unknown is en."""
    short = language.lower().replace("_", "-").split("-")[0]
    return short if short in LICENCE_LANGUAGES else "en"


@lru_cache
def phrases_of(language: str) -> Phrases:
    """The sentences of a language. English needs no catalogue: its sentences are the marks themselves."""
    short = licence_language(language)
    compiled = LOCALE / short / "LC_MESSAGES" / "django.mo"
    if not compiled.exists():
        return Phrases(short, NullTranslations())
    with compiled.open("rb") as file:
        return Phrases(short, GNUTranslations(file))
