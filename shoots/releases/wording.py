"""The text of a release, paragraph by paragraph, in each of its languages: plain words, the house's own.

The wording is no legal text: the pages say so, and the studio has it checked by a licensed adviser. What a person signs is
frozen as these very paragraphs, and named by their SHA-256.
"""

import hashlib
import json
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from shared.words import formats
from shoots.uses.days import last_day
from shoots.uses.sentences import classes_in_words, media_in_words, territories_in_words

LANGUAGE_NAMES = {"en": {"en": "English", "de": "German"}, "de": {"en": "englische", "de": "deutsche"}}

TEXTS: dict[str, dict[str, str]] = {
    "en": {
        "model_title": "Permission to use your picture",
        "minor_title": "Permission to use pictures of somebody under age",
        "property_title": "Permission to show this place",
        "model_who": "{signer} lets {photographer} use pictures taken for “{shoot}” ({when}, {where}) in which {signer} can be recognised.",
        "property_who": "{signer} lets {photographer} use pictures taken for “{shoot}” ({when}) in which {thing} can be recognised.",
        "model_who_house": "{signer} lets {photographer} use pictures in which {signer} can be recognised: those taken for “{shoot}” ({when}, {where}) "
        "and those of every other shoot for {reach_house}, earlier or later.",
        "property_who_house": "{signer} lets {photographer} use pictures in which {thing} can be recognised: those taken for “{shoot}” ({when}) "
        "and those of every other shoot for {reach_house}, earlier or later.",
        "model_who_all": "{signer} lets {photographer} use pictures in which {signer} can be recognised: those taken for “{shoot}” ({when}, {where}) "
        "and those of every other shoot of {photographer}, earlier or later, whoever it is for.",
        "property_who_all": "{signer} lets {photographer} use pictures in which {thing} can be recognised: those taken for “{shoot}” ({when}) "
        "and those of every other shoot of {photographer}, earlier or later, whoever it is for.",
        "model_who_named": "{signer} lets {photographer} use pictures in which {signer} can be recognised, taken for these shoots: {shoots}.",
        "property_who_named": "{signer} lets {photographer} use pictures in which {thing} can be recognised, taken for these shoots: {shoots}.",
        "one_shoot": "“{shoot}” ({when}, {where})",
        "minor_who": "{signer} lets {photographer} use pictures taken for “{shoot}” ({when}, {where}) in which {thing} can be recognised. "
        "{thing} is under age on that day. {signer} signs as parent or guardian of {thing}.",
        "minor_law": "Who has to sign for somebody under age, one parent or both, and from which age they sign too, differs by country. "
        "Please read this text with {thing} and sign only if {thing} agrees as well.",
        "house": "For: own promotion of {house} ({media}), readable everywhere.",
        "house_any": "For: own promotion of {house} in its own media, readable everywhere.",
        "named": "For: {classes} ({media}), in {places}.",
        "named_classes": "For: {classes}, in every medium, in {places}.",
        "anything": "For: editorial use, advertising and stock sale, in every medium, everywhere.",
        "portfolio": "Also for the photographer’s own portfolio.",
        "since": "From {first} on.",
        "until": "Until {last} (last day). After that no new use is made.",
        "not_house": "Not for: advertising by other firms, or sale through picture libraries.",
        "not_named": "Not for anything that is not named here.",
        "changes": "The pictures may be cropped and their light and colour corrected. They are not changed so that they say something untrue.",
        "promised_one": "{signer} gets one of the pictures for their own use.",
        "promised_other": "{signer} gets {count} of the pictures for their own use.",
        "freedom": "You may say no, and nothing follows from it for your work. You may ask later to have pictures taken down: write to {contact}. "
        "What such a wish means in law differs by country.",
        "minor_freedom": "You may say no, and nothing follows from it for {thing}. You or {thing} may ask later to have pictures taken down: write to {contact}. "
        "What such a wish means in law differs by country.",
        "minor_kept": "Your name, your signature, your e-mail address and the name of {thing} are kept with this release for as long as the pictures are used.",
        "kept": "Your name, your signature and your e-mail address are kept with this release for as long as the pictures are used.",
        "worth": "Signed on a screen, this is a simple electronic signature. This text is not legal advice: ask a lawyer if you are unsure.",
        "prevails": "This text stands in two languages. Where they differ, the English text counts.",
        "prevails_de": "This text stands in two languages. Where they differ, the German text counts.",
        "own_studio": "the photographer’s studio",
        "no_day": "day still open",
    },
    "de": {
        "model_title": "Erlaubnis, Ihr Bild zu nutzen",
        "minor_title": "Erlaubnis, Bilder einer minderjährigen Person zu nutzen",
        "property_title": "Erlaubnis, diesen Ort zu zeigen",
        "model_who": "{signer} erlaubt {photographer}, Bilder aus „{shoot}“ ({when}, {where}) zu nutzen, auf denen {signer} zu erkennen ist.",
        "property_who": "{signer} erlaubt {photographer}, Bilder aus „{shoot}“ ({when}) zu nutzen, auf denen zu erkennen ist: {thing}.",
        "model_who_house": "{signer} erlaubt {photographer}, Bilder zu nutzen, auf denen {signer} zu erkennen ist: Bilder aus „{shoot}“ ({when}, {where}) "
        "und aus jedem anderen Fototermin für {reach_house}, früher oder später.",
        "property_who_house": "{signer} erlaubt {photographer}, Bilder zu nutzen, auf denen zu erkennen ist: {thing}. Das gilt für Bilder aus „{shoot}“ ({when}) "
        "und aus jedem anderen Fototermin für {reach_house}, früher oder später.",
        "model_who_all": "{signer} erlaubt {photographer}, Bilder zu nutzen, auf denen {signer} zu erkennen ist: Bilder aus „{shoot}“ ({when}, {where}) "
        "und aus jedem anderen Fototermin von {photographer}, früher oder später, für wen auch immer.",
        "property_who_all": "{signer} erlaubt {photographer}, Bilder zu nutzen, auf denen zu erkennen ist: {thing}. Das gilt für Bilder aus „{shoot}“ ({when}) "
        "und aus jedem anderen Fototermin von {photographer}, früher oder später, für wen auch immer.",
        "model_who_named": "{signer} erlaubt {photographer}, Bilder aus diesen Fototerminen zu nutzen, auf denen {signer} zu erkennen ist: {shoots}.",
        "property_who_named": "{signer} erlaubt {photographer}, Bilder aus diesen Fototerminen zu nutzen, auf denen zu erkennen ist: {thing}. Die Termine: {shoots}.",
        "one_shoot": "„{shoot}“ ({when}, {where})",
        "minor_who": "{signer} erlaubt {photographer}, Bilder aus „{shoot}“ ({when}, {where}) zu nutzen, auf denen {thing} zu erkennen ist. "
        "{thing} ist an diesem Tag minderjährig. {signer} unterschreibt als Elternteil oder Vormund von {thing}.",
        "minor_law": "Wer für Minderjährige unterschreiben muss, ein Elternteil oder beide, und ab welchem Alter sie selbst mit unterschreiben, ist je nach Land verschieden. "
        "Bitte lesen Sie diesen Text gemeinsam mit {thing} und unterschreiben Sie nur, wenn auch {thing} einverstanden ist.",
        "house": "Für: Eigenwerbung von {house} ({media}), überall lesbar.",
        "house_any": "Für: Eigenwerbung von {house} in eigenen Medien, überall lesbar.",
        "named": "Für: {classes} ({media}), Gebiet: {places}.",
        "named_classes": "Für: {classes}, in jedem Medium, Gebiet: {places}.",
        "anything": "Für: redaktionelle Nutzung, Werbung und Verkauf über Bildarchive, in jedem Medium, überall.",
        "portfolio": "Auch für das eigene Portfolio der Fotografin oder des Fotografen.",
        "since": "Ab {first}.",
        "until": "Bis {last} (letzter Tag). Danach kommt keine neue Nutzung hinzu.",
        "not_house": "Nicht für: Werbung anderer Firmen oder Verkauf über Bildarchive.",
        "not_named": "Nicht für etwas, das hier nicht genannt ist.",
        "changes": "Die Bilder dürfen beschnitten und in Licht und Farbe korrigiert werden. Sie werden nicht so verändert, dass sie etwas Unwahres sagen.",
        "promised_one": "{signer} bekommt eines der Bilder zur eigenen Nutzung.",
        "promised_other": "{signer} bekommt {count} der Bilder zur eigenen Nutzung.",
        "freedom": "Sie dürfen Nein sagen, für Ihre Arbeit folgt daraus nichts. Sie dürfen später darum bitten, Bilder zu entfernen: "
        "Schreiben Sie an {contact}. Was ein solcher Wunsch rechtlich bedeutet, ist je nach Land verschieden.",
        "minor_freedom": "Sie dürfen Nein sagen, für {thing} folgt daraus nichts. Sie oder {thing} dürfen später darum bitten, Bilder zu entfernen: "
        "Schreiben Sie an {contact}. Was ein solcher Wunsch rechtlich bedeutet, ist je nach Land verschieden.",
        "minor_kept": "Ihr Name, Ihre Unterschrift, Ihre E-Mail-Adresse und der Name von {thing} werden mit dieser Erlaubnis aufbewahrt, solange die Bilder genutzt werden.",
        "kept": "Ihr Name, Ihre Unterschrift und Ihre E-Mail-Adresse werden mit dieser Erlaubnis aufbewahrt, solange die Bilder genutzt werden.",
        "worth": "Auf einem Bildschirm unterschrieben ist dies eine einfache elektronische Signatur. Dieser Text ist keine Rechtsberatung: Fragen Sie im Zweifel eine Anwältin oder einen Anwalt.",
        "prevails": "Dieser Text steht in zwei Sprachen. Wo sie voneinander abweichen, gilt der englische Text.",
        "prevails_de": "Dieser Text steht in zwei Sprachen. Wo sie voneinander abweichen, gilt der deutsche Text.",
        "own_studio": "im Studio",
        "no_day": "Tag noch offen",
    },
}


@dataclass(frozen=True, slots=True)
class ShootInWords:
    """One of several shoots a release names: its title, its first and last day (inclusive, None while open) and its place."""

    title: str
    first_on: date | None
    last_on: date | None
    place: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReleaseTermsInWords:
    """What a release says, as plain values. Days are half-open; ``house`` set means own promotion of that house alone.

    ``reach``: ``shoot``, ``named`` (all of ``shoots``, the release's own among them), ``house`` (every shoot for ``reach_house``) or ``all``. ``is_minor``: ``thing`` is the person under age for
    whom ``signer`` signs as guardian.
    """

    is_property: bool
    signer: str
    thing: str = ""
    photographer: str
    contact: str
    shoot: str
    first_on: date | None
    last_on: date | None
    place: str = ""
    reach: str = "shoot"
    shoots: tuple[ShootInWords, ...] = ()
    reach_house: str = ""
    is_minor: bool = False
    house: str = ""
    classes: frozenset[str] = frozenset()
    media: frozenset[str] = frozenset()
    territories: frozenset[str] = frozenset()
    use_from: date | None = None
    use_until: date | None = None
    includes_portfolio: bool = True
    pictures_promised: int = 0
    languages: tuple[str, ...] = ("en",)
    prevailing: str = "en"


def release_title(terms: ReleaseTermsInWords, language: str) -> str:
    """The heading of the release in one language."""
    return TEXTS[language][f"{_of_whom(terms)}_title"]


def release_paragraphs(terms: ReleaseTermsInWords, language: str) -> tuple[str, ...]:
    """The paragraphs in one language; every language has the same number in the same order."""
    texts = TEXTS[language]
    found = [*limits_in_words(terms, language), texts["changes"]]
    if terms.is_minor:
        found.append(texts["minor_law"].format(thing=terms.thing))
    if terms.pictures_promised:
        key = "promised_one" if terms.pictures_promised == 1 else "promised_other"
        found.append(texts[key].format(signer=terms.signer, count=terms.pictures_promised))
    whose = "minor_" if terms.is_minor else ""
    found += [
        texts[f"{whose}freedom"].format(contact=terms.contact, thing=terms.thing),
        texts[f"{whose}kept"].format(thing=terms.thing),
        texts["worth"],
    ]
    if len(terms.languages) > 1:
        found.append(texts["prevails_de" if terms.prevailing == "de" else "prevails"])
    return tuple(found)


def limits_in_words(terms: ReleaseTermsInWords, language: str) -> tuple[str, ...]:
    """Who agrees to what, in which uses, until when: the first paragraphs, and all that is said of a paper with words of its own."""
    texts = TEXTS[language]
    found = [_who(terms, language), _what_for(terms, language)]
    if terms.includes_portfolio:
        found.append(texts["portfolio"])
    if terms.use_from is not None:
        found.append(texts["since"].format(first=formats.day(terms.use_from, language)))
    if terms.use_until is not None:
        found.append(texts["until"].format(last=formats.day(last_day(terms.use_until), language)))
    if not _is_anything(terms):
        found.append(texts["not_house" if terms.house else "not_named"])
    return tuple(found)


def text_hash(texts: Sequence[tuple[str, str, Sequence[str]]]) -> str:
    """SHA-256 of what is shown: for each language its code, its title and its paragraphs, as canonical JSON in UTF-8."""
    shown = [[language, title, list(paragraphs)] for language, title, paragraphs in texts]
    return hashlib.sha256(json.dumps(shown, ensure_ascii=False, separators=(",", ":")).encode()).hexdigest()


def _is_anything(terms: ReleaseTermsInWords) -> bool:
    return not (terms.house or terms.classes or terms.media or terms.territories)


def _of_whom(terms: ReleaseTermsInWords) -> str:
    return "property" if terms.is_property else "minor" if terms.is_minor else "model"


def _who(terms: ReleaseTermsInWords, language: str) -> str:
    texts = TEXTS[language]
    named = [
        texts["one_shoot"].format(
            shoot=each.title, when=_when(each.first_on, each.last_on, language), where=each.place or texts["own_studio"]
        )
        for each in terms.shoots
    ]
    who = f"{_of_whom(terms)}_who"
    return texts[who if terms.reach == "shoot" else f"{who}_{terms.reach}"].format(
        signer=terms.signer,
        photographer=terms.photographer,
        shoot=terms.shoot,
        shoots=formats.list_in_words(named, language),
        when=_when(terms.first_on, terms.last_on, language),
        where=terms.place or texts["own_studio"],
        thing=terms.thing,
        reach_house=terms.reach_house,
    )


def _when(first_on: date | None, last_on: date | None, language: str) -> str:
    if first_on is None:
        return TEXTS[language]["no_day"]
    return formats.days(first_on, last_on or first_on, language)


def _what_for(terms: ReleaseTermsInWords, language: str) -> str:
    texts = TEXTS[language]
    if _is_anything(terms):
        return texts["anything"]
    media = media_in_words(terms.media, language) if terms.media else ""
    if terms.house:
        return texts["house" if media else "house_any"].format(house=terms.house, media=media)
    places = territories_in_words(terms.territories or frozenset({"world"}), language)
    classes = classes_in_words(terms.classes or frozenset({"editorial", "advertising", "stock"}), language)
    return texts["named" if media else "named_classes"].format(classes=classes, media=media, places=places)
