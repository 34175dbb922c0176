"""How a usage fee comes about, told to a client in the client's language: each factor by a plain name, what it stands for, and its figure.

What is said of a use is what was asked for, never the wider cover a card may reckon by: the client reads what is granted. Whole
sentences with places; the wording is the house's own. French, Spanish, Italian and Swedish need a native reader.
"""

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Any

from billing.rates.examples import decimal_of
from shared.money import round_exact
from shared.words import formats
from shared.words.formats import with_capital
from shared.words.phrases import licence_language
from shoots.uses.sentences import classes_in_words, media_in_words, territories_in_words

TEXTS: dict[str, dict[str, str]] = {
    "en": {
        "base": "Starting fee for one picture", "classes": "What it is for", "media": "Where it is shown", "territories": "In which countries",
        "term": "For how long", "copies": "How many are printed", "pictures": "How many pictures",
        "none": "{length}, not exclusive", "trade": "{length}, and no other firm of your trade", "picture": "{length}, and nobody else",
        "endless": "without an end date", "unlimited": "any number of copies", "fewer": "{pictures}, the later ones for less",
        "one": "Use {uses}", "other": "Uses {uses}",
        "is": "That is {fee}.", "up": "That is {exact}, rounded up to {fee}.", "least": "That is {exact}; the least fee is {fee}.",
        "together": "Together {fee}.", "together_up": "Together {exact}, rounded up to {fee}.", "together_least": "Together {exact}; the least fee is {fee}.",
        "added": "Use {number} is the added one. Without it the fee is {without}, with it {added} more.", "added_free": "Use {number} is the added one. Without it the fee is the same.",
        "money": "{fee} at {rate} is {offered}.",
    },
    "de": {
        "base": "Grundhonorar für ein Bild", "classes": "Wofür", "media": "Wo es gezeigt wird", "territories": "In welchen Ländern",
        "term": "Wie lange", "copies": "Wie viele gedruckt werden", "pictures": "Wie viele Bilder",
        "none": "{length}, nicht ausschließlich", "trade": "{length}, und keine andere Firma Ihrer Branche", "picture": "{length}, und niemand sonst",
        "endless": "ohne Enddatum", "unlimited": "beliebig viele Exemplare", "fewer": "{pictures}, die späteren günstiger",
        "one": "Nutzung {uses}", "other": "Nutzungen {uses}",
        "is": "Das sind {fee}.", "up": "Das sind {exact}, aufgerundet auf {fee}.", "least": "Das sind {exact}; das Mindesthonorar ist {fee}.",
        "together": "Zusammen {fee}.", "together_up": "Zusammen {exact}, aufgerundet auf {fee}.", "together_least": "Zusammen {exact}; das Mindesthonorar ist {fee}.",
        "added": "Nutzung {number} ist die zusätzliche. Ohne sie beträgt das Honorar {without}, mit ihr {added} mehr.", "added_free": "Nutzung {number} ist die zusätzliche. Ohne sie ist das Honorar gleich hoch.",
        "money": "{fee} zum Kurs {rate} sind {offered}.",
    },
    "fr": {
        "base": "Tarif de départ pour une photo", "classes": "Pour quel usage", "media": "Où elle est montrée", "territories": "Dans quels pays",
        "term": "Pour combien de temps", "copies": "Combien d’exemplaires imprimés", "pictures": "Combien de photos",
        "none": "{length}, sans exclusivité", "trade": "{length}, et aucune autre entreprise de votre secteur", "picture": "{length}, et personne d’autre",
        "endless": "sans date de fin", "unlimited": "nombre d’exemplaires illimité", "fewer": "{pictures}, les suivantes à moindre prix",
        "one": "Usage {uses}", "other": "Usages {uses}",
        "is": "Cela fait {fee}.", "up": "Cela fait {exact}, arrondi à {fee}.", "least": "Cela fait {exact} ; le montant minimal est de {fee}.",
        "together": "En tout {fee}.", "together_up": "En tout {exact}, arrondi à {fee}.", "together_least": "En tout {exact} ; le montant minimal est de {fee}.",
        "added": "L’usage {number} est celui qui s’ajoute. Sans lui, le montant est de {without}, avec lui {added} de plus.", "added_free": "L’usage {number} est celui qui s’ajoute. Sans lui, le montant est le même.",
        "money": "{fee} au taux de {rate} font {offered}.",
    },
    "es": {
        "base": "Tarifa inicial por una foto", "classes": "Para qué", "media": "Dónde se muestra", "territories": "En qué países",
        "term": "Por cuánto tiempo", "copies": "Cuántos ejemplares se imprimen", "pictures": "Cuántas fotos",
        "none": "{length}, sin exclusividad", "trade": "{length}, y ninguna otra empresa de su sector", "picture": "{length}, y nadie más",
        "endless": "sin fecha de fin", "unlimited": "cualquier número de ejemplares", "fewer": "{pictures}, las siguientes por menos",
        "one": "Uso {uses}", "other": "Usos {uses}",
        "is": "Son {fee}.", "up": "Son {exact}, redondeado a {fee}.", "least": "Son {exact}; el importe mínimo es {fee}.",
        "together": "En total {fee}.", "together_up": "En total {exact}, redondeado a {fee}.", "together_least": "En total {exact}; el importe mínimo es {fee}.",
        "added": "El uso {number} es el añadido. Sin él, el importe es {without}, con él {added} más.", "added_free": "El uso {number} es el añadido. Sin él, el importe es el mismo.",
        "money": "{fee} al cambio de {rate} son {offered}.",
    },
    "it": {
        "base": "Tariffa di partenza per una foto", "classes": "Per che cosa", "media": "Dove viene mostrata", "territories": "In quali paesi",
        "term": "Per quanto tempo", "copies": "Quante copie si stampano", "pictures": "Quante foto",
        "none": "{length}, senza esclusiva", "trade": "{length}, e nessun’altra impresa del vostro settore", "picture": "{length}, e nessun altro",
        "endless": "senza data di fine", "unlimited": "qualsiasi numero di copie", "fewer": "{pictures}, le successive a meno",
        "one": "Uso {uses}", "other": "Usi {uses}",
        "is": "Fa {fee}.", "up": "Fa {exact}, arrotondato a {fee}.", "least": "Fa {exact}; l’importo minimo è {fee}.",
        "together": "In tutto {fee}.", "together_up": "In tutto {exact}, arrotondato a {fee}.", "together_least": "In tutto {exact}; l’importo minimo è {fee}.",
        "added": "L’uso {number} è quello aggiunto. Senza, l’importo è {without}, con esso {added} in più.", "added_free": "L’uso {number} è quello aggiunto. Senza, l’importo è lo stesso.",
        "money": "{fee} al cambio di {rate} fanno {offered}.",
    },
    "sv": {
        "base": "Grundavgift för en bild", "classes": "Till vad", "media": "Var den visas", "territories": "I vilka länder",
        "term": "Hur länge", "copies": "Hur många som trycks", "pictures": "Hur många bilder",
        "none": "{length}, utan ensamrätt", "trade": "{length}, och inget annat företag i er bransch", "picture": "{length}, och ingen annan",
        "endless": "utan slutdatum", "unlimited": "valfritt antal exemplar", "fewer": "{pictures}, de senare för mindre",
        "one": "Användning {uses}", "other": "Användningarna {uses}",
        "is": "Det blir {fee}.", "up": "Det blir {exact}, avrundat uppåt till {fee}.", "least": "Det blir {exact}; minsta avgift är {fee}.",
        "together": "Tillsammans {fee}.", "together_up": "Tillsammans {exact}, avrundat uppåt till {fee}.", "together_least": "Tillsammans {exact}; minsta avgift är {fee}.",
        "added": "Användning {number} är tillägget. Utan den är avgiften {without}, med den {added} mer.", "added_free": "Användning {number} är tillägget. Utan den är avgiften densamma.",
        "money": "{fee} till kursen {rate} blir {offered}.",
    },
}  # fmt: skip

# How ``billing.rates.fees`` writes the term of a line: its months, or none, then what it shuts out.
TERM = re.compile(r"(?P<length>without end|[\d.]+ months?)[^,]*, (?:not exclusive|exclusive \((?P<kind>[a-z]+)\))")
COUNTED = re.compile(r"(?P<count>[\d,]+) (?:copies|pictures?)")


@dataclass(frozen=True, slots=True)
class UseTold:
    """The codes of one use as it was asked for."""

    classes: Sequence[str]
    media: Sequence[str]
    territories: Sequence[str]


@dataclass(frozen=True, slots=True)
class StepTold:
    """One factor: *For how long*, *24 months, not exclusive*, *× 1.5*. The first is an amount of money."""

    name: str
    reason: str
    figure: str


@dataclass(frozen=True, slots=True)
class PartTold:
    """One line of a fee: the uses in it (*Uses 1 and 2*; empty where there is one use alone), its steps, and its sum as money."""

    uses: str
    steps: tuple[StepTold, ...]
    sum: str


@dataclass(frozen=True, slots=True)
class FeeTold:
    """A fee with its parts, and the sentence that leads from their sum to what is asked."""

    parts: tuple[PartTold, ...]
    end: str


def fee_told(
    figures: Mapping[str, Any],
    uses: Sequence[UseTold],
    *,
    currency: str,
    language: str,
    is_least: bool = False,
    added: Decimal | None = None,
    offered: tuple[Decimal, str, Decimal] | None = None,
) -> FeeTold | None:
    """The fee kept as ``fee_data``, in ``currency``, for the uses in their order. ``is_least``: the card's minimum counts.

    ``added`` is what the last of the uses adds to the fee of the others, where a client may add it; then that is what is asked.
    ``offered`` is the sum asked in the client's money, its code and the rate. None where nothing was kept, or what was kept is of other uses.
    """
    lines = figures.get("lines", ())
    if not lines or sorted(index for line in lines for index in line["items"]) != list(range(len(uses))):
        return None
    tongue = licence_language(language)
    parts = tuple(_part(line, uses, currency, tongue) for line in lines)
    exact, fee = sum((Fraction(line["sum"]) for line in lines), Fraction(0)), Decimal(figures["fee"])
    way = "" if exact == Fraction(fee) else "_least" if is_least else "_up"
    name = f"together{way}" if len(lines) > 1 else way[1:] or "is"
    end = TEXTS[tongue][name].format(
        exact=formats.money(round_exact(exact), currency, tongue), fee=formats.money(fee, currency, tongue)
    )
    asked = fee if added is None else added
    if added is not None:
        said = TEXTS[tongue]["added" if added else "added_free"].format(
            number=formats.number(len(uses), tongue),
            without=formats.money(fee - added, currency, tongue),
            added=formats.money(added, currency, tongue),
        )
        end = f"{end} {said}"
    if offered is not None and asked:
        amount, code, rate = offered
        said = TEXTS[tongue]["money"].format(
            fee=formats.money(asked, currency, tongue),
            rate=formats.number(rate, tongue, 8),
            offered=formats.money(amount, code, tongue),
        )
        end = f"{end} {said}"
    return FeeTold(parts, end)


def any_number_of_copies(language: str) -> str:
    """*any number of copies*, where a client reads of a printed use without a limit."""
    return TEXTS[licence_language(language)]["unlimited"]


def _part(line: Mapping[str, Any], uses: Sequence[UseTold], currency: str, language: str) -> PartTold:
    held = [uses[index] for index in line["items"]]
    steps = tuple(
        StepTold(
            TEXTS[language][name],
            _reason(name, Fraction(value), reason, held, language),
            formats.money(decimal_of(Fraction(value)), currency, language)
            if name == "base"
            else f"× {formats.number(decimal_of(Fraction(value)), language)}",
        )
        for name, value, reason in line["working"]
        if not (name == "copies" and reason == "not counted")
    )
    numbers = [formats.number(index + 1, language) for index in line["items"]]
    said = TEXTS[language]["one" if len(numbers) == 1 else "other"].format(
        uses=formats.list_in_words(numbers, language)
    )
    return PartTold(
        said if len(uses) > 1 else "", steps, formats.money(round_exact(Fraction(line["sum"])), currency, language)
    )


def _reason(name: str, value: Fraction, reason: str, held: Sequence[UseTold], language: str) -> str:
    texts = TEXTS[language]
    if name == "base":
        return ""
    if name == "classes":
        return with_capital(classes_in_words(_codes(each.classes for each in held), language))
    if name == "media":
        return with_capital(media_in_words(_codes(each.media for each in held), language))
    if name == "territories":
        return with_capital(territories_in_words(_codes(each.territories for each in held), language))
    if name == "term":
        return with_capital(_term(reason, texts, language))
    counted = COUNTED.fullmatch(reason)
    if counted is None:
        return with_capital(texts["unlimited"])
    count = int(counted["count"].replace(",", ""))
    if name == "copies":
        return formats.quantity(count, "copy", language)
    pictures = formats.quantity(count, "picture", language)
    return texts["fewer"].format(pictures=pictures) if value < count else pictures


def _term(reason: str, texts: Mapping[str, str], language: str) -> str:
    found = TERM.match(reason)
    if found is None:
        return reason
    months = found["length"].removesuffix("s").removesuffix(" month")
    length = (
        texts["endless"] if found["length"] == "without end" else formats.quantity(Decimal(months), "month", language)
    )
    return texts[found["kind"] or "none"].format(length=length)


def _codes(of_uses: Iterable[Sequence[str]]) -> frozenset[str]:
    return frozenset(code for codes in of_uses for code in codes)
