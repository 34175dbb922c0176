"""The options of an estimate beside each other: what is the same in all is said once, what differs stands under each.

Words are the house's own, in the estimate's language; sums are those of the snapshot.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from billing.estimates.pricing import LineKind
from billing.estimates.snapshot import EstimateShown, OptionShown, UseShown
from billing.rates.told import any_number_of_copies
from shared.words import formats
from shared.words.formats import with_capital
from shared.words.phrases import licence_language
from shoots.uses.intended import ANY_NUMBER
from shoots.uses.sentences import media_in_words, territories_in_words

TEXTS: dict[str, dict[str, str]] = {
    "en": {
        "days": "On set", "pictures": "Pictures", "purpose": "What for", "media": "Where shown", "places": "Countries", "term": "For how long",
        "alone": "Exclusive", "copies": "Copies printed", "uses": "Uses", "uses_more": "Further uses", "with": "Also in it", "add": "You may add", "add_more": "Also to add", "discount": "Discount", "deposit": "Deposit",
        "nothing": "none", "endless": "without an end date", "none": "no", "trade": "yes, in your trade", "picture": "yes",
        "trade_months": "in your trade, the first {months}", "picture_months": "the first {months}", "plus": "{what}, {sum}", "at_most": "{what}, at most {sum}", "more": "and {count} more",
    },
    "de": {
        "days": "Am Set", "pictures": "Bilder", "purpose": "Wofür", "media": "Wo gezeigt", "places": "Länder", "term": "Wie lange",
        "alone": "Ausschließlich", "copies": "Gedruckte Exemplare", "uses": "Nutzungen", "uses_more": "Weitere Nutzungen", "with": "Außerdem darin", "add": "Wählbar dazu", "add_more": "Außerdem wählbar", "discount": "Nachlass", "deposit": "Anzahlung",
        "nothing": "keine", "endless": "ohne Enddatum", "none": "nein", "trade": "ja, in Ihrer Branche", "picture": "ja",
        "trade_months": "in Ihrer Branche, die ersten {months}", "picture_months": "die ersten {months}", "plus": "{what}, {sum}", "at_most": "{what}, höchstens {sum}", "more": "und {count} weitere",
    },
    "fr": {
        "days": "Sur le plateau", "pictures": "Photos", "purpose": "Pour quoi", "media": "Où", "places": "Pays", "term": "Durée",
        "alone": "Exclusif", "copies": "Exemplaires imprimés", "uses": "Usages", "uses_more": "Autres usages", "with": "Compris aussi", "add": "En option", "add_more": "Aussi en option", "discount": "Remise", "deposit": "Acompte",
        "nothing": "aucun", "endless": "sans date de fin", "none": "non", "trade": "oui, dans votre secteur", "picture": "oui",
        "trade_months": "dans votre secteur, durée : {months}", "picture_months": "durée : {months}", "plus": "{what}, {sum}", "at_most": "{what}, au plus {sum}", "more": "et {count} de plus",
    },
    "es": {
        "days": "En el plató", "pictures": "Fotos", "purpose": "Para qué", "media": "Dónde", "places": "Países", "term": "Por cuánto tiempo",
        "alone": "Exclusivo", "copies": "Ejemplares impresos", "uses": "Usos", "uses_more": "Otros usos", "with": "También incluye", "add": "Puede añadir", "add_more": "También puede añadir", "discount": "Descuento", "deposit": "Anticipo",
        "nothing": "ninguno", "endless": "sin fecha de fin", "none": "no", "trade": "sí, en su sector", "picture": "sí",
        "trade_months": "en su sector, los primeros {months}", "picture_months": "los primeros {months}", "plus": "{what}, {sum}", "at_most": "{what}, como máximo {sum}", "more": "y {count} más",
    },
    "it": {
        "days": "Sul set", "pictures": "Foto", "purpose": "Per che cosa", "media": "Dove", "places": "Paesi", "term": "Per quanto tempo",
        "alone": "In esclusiva", "copies": "Copie stampate", "uses": "Usi", "uses_more": "Altri usi", "with": "Comprende anche", "add": "Può aggiungere", "add_more": "Può anche aggiungere", "discount": "Sconto", "deposit": "Acconto",
        "nothing": "nessuno", "endless": "senza data di fine", "none": "no", "trade": "sì, nel vostro settore", "picture": "sì",
        "trade_months": "nel vostro settore, i primi {months}", "picture_months": "i primi {months}", "plus": "{what}, {sum}", "at_most": "{what}, al massimo {sum}", "more": "e altri {count}",
    },
    "sv": {
        "days": "På plats", "pictures": "Bilder", "purpose": "Till vad", "media": "Var", "places": "Länder", "term": "Hur länge",
        "alone": "Ensamrätt", "copies": "Tryckta exemplar", "uses": "Användningar", "uses_more": "Fler användningar", "with": "Ingår också", "add": "Kan läggas till", "add_more": "Kan också läggas till", "discount": "Rabatt", "deposit": "Förskott",
        "nothing": "ingen", "endless": "utan slutdatum", "none": "nej", "trade": "ja, i er bransch", "picture": "ja",
        "trade_months": "i er bransch, de första {months}", "picture_months": "de första {months}", "plus": "{what}, {sum}", "at_most": "{what}, högst {sum}", "more": "och {count} till",
    },
}  # fmt: skip
SET_KINDS = (LineKind.SHOOTING_DAY, LineKind.HALF_DAY)
MOST_NAMED = 5
LISTS = ("uses", "add")  # rows of which a part may be the same
SAID_ELSEWHERE = {*SET_KINDS, LineKind.USAGE, LineKind.FINISHING}  # under days, uses and pictures


@dataclass(frozen=True, slots=True)
class Fact:
    """One fact of an option: its name, and what is so, a line each."""

    name: str
    values: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Column:
    """One option with the facts in which it differs; every column has the same names in the same order."""

    option: OptionShown
    facts: tuple[Fact, ...]


@dataclass(frozen=True, slots=True)
class Comparison:
    """All options beside each other, and what is the same in each."""

    columns: tuple[Column, ...]
    same: tuple[Fact, ...]


@dataclass(frozen=True, slots=True)
class UseTold:
    """One use: its heading, and the rest of what only it says."""

    heading: str
    rest: str


@dataclass(frozen=True, slots=True)
class UsesTold:
    """The uses of an option, each with what only it says, and the sentences that hold for all of them."""

    each: tuple[UseTold, ...]
    common: str


def compared(shown: EstimateShown) -> Comparison:
    """The options side by side. Of one option alone everything is *the same*; of a list that differs, what all have is said once."""
    language = licence_language(shown.language)
    nothing, texts = (TEXTS[language]["nothing"],), TEXTS[language]
    same: list[Fact] = []
    differing: list[tuple[str, list[tuple[str, ...]]]] = []
    for name, reads in _rows(shown, language):
        values = [reads(option) for option in shown.options]
        if len(set(values)) == 1:
            same += [Fact(texts[name], values[0])] if values[0] else []
            continue
        shared = tuple(each for each in values[0] if all(each in others for others in values)) if name in LISTS else ()
        if shared:
            same.append(Fact(texts[name], shared))
            values = [tuple(each for each in those if each not in shared) for those in values]
        differing.append((texts[f"{name}_more" if shared else name], values))
    columns = tuple(
        Column(option, tuple(Fact(name, _first_of(values[place], language) or nothing) for name, values in differing))
        for place, option in enumerate(shown.options)
    )
    return Comparison(columns, tuple(same))


def uses_told(option: OptionShown) -> UsesTold:
    """The uses of an option without saying the same sentence of each."""
    uses = _uses(option)
    common = [each for each in uses[0].sentences if all(each in use.sentences for use in uses)] if len(uses) > 1 else []
    said = tuple(
        UseTold(
            use.heading,
            " ".join(each for each in use.sentences if each not in common).removeprefix(f"{use.heading}: "),
        )
        for use in uses
    )
    return UsesTold(said, " ".join(common))


Reads = Callable[[OptionShown], tuple[str, ...]]


def _rows(shown: EstimateShown, language: str) -> list[tuple[str, Reads]]:
    texts = TEXTS[language]

    def money(amount: Decimal) -> str:
        return formats.money(amount, shown.currency, language)

    def priced(option: OptionShown) -> tuple[str, ...]:
        return tuple(
            texts["at_most" if line.is_at_most else "plus"].format(what=line.what, sum=money(line.amount))
            for line in option.optional_lines
        )

    everywhere = set.intersection(*({line.what for line in option.fixed_lines} for option in shown.options))
    return [
        ("days", lambda option: _on_set(option, language)),
        ("pictures", lambda option: (formats.number(option.pictures_count, language),)),
        *_use_rows(shown.options, language),
        ("with", lambda option: _also(option, everywhere)),
        ("add", priced),
        (
            "discount",
            lambda option: (formats.percent(option.discount_percent, language),) if option.discount_percent else (),
        ),
        ("deposit", lambda option: (money(option.sums.deposit),) if option.sums.deposit else ()),
    ]


def _copies(copies: int | None, language: str) -> str:
    """A number of copies, or that it is not limited; empty where nothing is said of them."""
    if copies == ANY_NUMBER:
        return any_number_of_copies(language)
    return "" if copies is None else formats.number(copies, language)


def _use_rows(options: Sequence[OptionShown], language: str) -> list[tuple[str, Reads]]:
    """The use by its sides where each option has one use; else each use as its sentence."""
    if any(option.further_uses for option in options):
        return [("uses", lambda option: tuple(each.sentences[0] for each in _uses(option)))]
    texts = TEXTS[language]

    def side(said: Callable[[UseShown], str]) -> Reads:
        return lambda option: tuple(text for text in [said(option.use)] if text and option.use.sentences)

    return [
        ("purpose", side(lambda use: use.heading)),
        ("media", side(lambda use: with_capital(media_in_words(use.media, language)))),
        ("places", side(lambda use: with_capital(territories_in_words(use.territories, language)))),
        (
            "term",
            side(
                lambda use: texts["endless"] if use.months is None else formats.quantity(use.months, "month", language)
            ),
        ),
        ("alone", side(lambda use: _alone(use, language))),
        ("copies", side(lambda use: _copies(use.copies, language))),
    ]


def _uses(option: OptionShown) -> list[UseShown]:
    return [use for use in (option.use, *option.further_uses) if use.sentences]


def _on_set(option: OptionShown, language: str) -> tuple[str, ...]:
    counted: dict[str, Decimal] = {}
    for line in option.fixed_lines:
        if line.kind in SET_KINDS:
            unit = line.unit or ("half_day" if line.kind == LineKind.HALF_DAY else "day")
            counted[unit] = counted.get(unit, Decimal(0)) + line.quantity
    return tuple(formats.quantity(count, unit, language) for unit, count in counted.items())


def _also(option: OptionShown, everywhere: set[str]) -> tuple[str, ...]:
    named = [line.what for line in option.fixed_lines if line.kind not in SAID_ELSEWHERE]
    return tuple(dict.fromkeys(what for what in named if what not in everywhere))


def _first_of(values: tuple[str, ...], language: str) -> tuple[str, ...]:
    """The first of a long list; how many more there are stands for the others, which the option itself lists."""
    if len(values) <= MOST_NAMED + 1:
        return values
    return (*values[:MOST_NAMED], TEXTS[language]["more"].format(count=len(values) - MOST_NAMED))


def _alone(use: UseShown, language: str) -> str:
    texts = TEXTS[language]
    if use.exclusive_months is None or not use.is_exclusive:
        return texts[use.exclusivity]
    return texts[f"{use.exclusivity}_months"].format(months=formats.quantity(use.exclusive_months, "month", language))
