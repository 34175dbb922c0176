"""Which language a recipe is written in, by its small words: enough to know whether the reader's English words mean anything in it."""

from __future__ import annotations

import re
from collections import Counter

# The commonest small words and kitchen words of each language that are no words of the others (from memory).
_WORDS = {
    "en": "the and with for until of into it from then over add minutes your each about some is are",
    "fr": "le la les des une dans avec et du pour les jusqu pendant puis cuillère faire ajouter ajoutez mettre mettez œufs beurre au aux sur sel eau",
    "de": "der die das und mit den dem eine einen für bei auf zu dann bis minuten wasser salz geben lassen butter eier etwas schneiden nicht",
    "es": "el la los las una con y del para hasta durante por minutos añadir agregar sal agua aceite huevos luego cucharada picar",
    "it": "il lo gli una con e del della per fino dopo minuti aggiungere aggiungete sale acqua olio uova poi cucchiaio tagliare nel burro",
    "pt": "o os as uma com e do da para até durante minutos adicione sal água azeite ovos depois colher corte manteiga na",
    "nl": "de het een en met voor tot op minuten water zout voeg eieren boter snijd laat dan eetlepel niet",
    "sv": "och med i en ett till på tills minuter vatten salt tillsätt ägg smör sedan låt av msk dl",
    "da": "og med i en et til på indtil minutter vand salt tilsæt æg smør derefter lad af spsk",
    "no": "og med i en et til på minutter vann salt tilsett egg smør deretter la av ss",
    "pl": "i z na do w przez minut wody soli dodać jajka masło następnie aż łyżka pokroić oraz",
    "tr": "ve ile bir için kadar dakika su tuz ekleyin yumurta tereyağı sonra kaşığı",
}
NAMES = {
    "en": "English", "fr": "French", "de": "German", "es": "Spanish", "it": "Italian", "pt": "Portuguese", "nl": "Dutch", "sv": "Swedish", "da": "Danish",
    "no": "Norwegian", "pl": "Polish", "tr": "Turkish", "": "a language this house does not know",
}  # fmt: skip
_SETS = {language: frozenset(words.split()) for language, words in _WORDS.items()}
_LEAST = 3  # small words of a language that must be there, and twice as many as English ones
_SEARCHED = 10_000  # signs
_NOT_LATIN = re.compile(r"[\u0370-\u1dff\u2c00-\ua6ff\ua800-\uffff]+")


def language_of(text: str, declared: str = "") -> str:
    """The language of a recipe as its two letters; `en` also where the words do not say, and '' for one that is certainly none of those known here.

    What the words say goes before what the page declares; many pages declare the language of their menu.
    """
    text = text[:_SEARCHED].lower()
    words = Counter(re.findall(r"[^\W\d_]+", text))
    foreign = sum(len(signs) for signs in _NOT_LATIN.findall(text))
    if foreign > 10 and 2 * foreign > sum(len(word) * times for word, times in words.items()):
        return ""
    counts = {language: sum(words[word] for word in known.intersection(words)) for language, known in _SETS.items()}
    likeliest = max(counts, key=lambda language: counts[language])
    if likeliest != "en" and counts[likeliest] >= max(_LEAST, 2 * counts["en"] + 1):
        return likeliest
    declared = declared.strip().lower()[:2]
    return declared if declared in NAMES and declared and not counts["en"] else "en"


def said(language: str) -> str:
    """What a person is told whose recipe is not in English."""
    return (
        f"This seems to be {NAMES[language]}. Everything is kept word for word, but only English is read: no moments are taken from it but those of words you taught, and allergens are missed. "
        "Split the steps and add the moments by hand, and ask the cook."
    )
