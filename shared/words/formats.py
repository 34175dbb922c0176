"""Money, numbers and dates as people write them, in the document's language, and how what they type is read.

Patterns and names by CLDR through Babel. Every amount is rounded half up before it reaches Babel, which rounds half to even.
Hard spaces (U+00A0) hold dates and units together; a minus is U+2212. ``plain_spaces`` undoes the hard spaces for comparing.
"""

import re
from collections.abc import Sequence
from datetime import date, datetime, tzinfo
from decimal import ROUND_HALF_UP, Decimal
from functools import lru_cache

from babel import Locale
from babel.core import get_global
from babel.dates import format_date
from babel.lists import format_list
from babel.numbers import format_currency, format_decimal, get_currency_precision, get_currency_symbol

from shared.money import minor_units, round_money

HARD = "\u00a0"
MINUS = "\u2212"
LOCALES = {"en": "en_GB", "de": "de_DE", "fr": "fr_FR", "es": "es_ES", "it": "it_IT", "sv": "sv_SE"}
DAY_PATTERNS = {"de": f"d.{HARD}MMM{HARD}y"}
LONG_PATTERNS = {
    "de": f"EEEE, d.{HARD}MMMM y",
    "es": f"EEEE, d{HARD}'de'{HARD}MMMM 'de' y",
    "sv": f"EEEE 'den' d{HARD}MMMM y",
}
PLAIN_LONG_PATTERNS = {"de": f"d.{HARD}MMMM y", "es": f"d{HARD}'de'{HARD}MMMM 'de' y"}
SHORT_PATTERNS = {"de": f"d.{HARD}MMM"}
MONTH_PATTERNS = {"es": "MMMM 'de' y"}
PAPERS_IN = ("en", "de")
"""Languages of papers and of what is typed; the others are those of licences."""
RANGES = {
    "en": "{first} to {last}",
    "de": "{first} bis {last}",
    "fr": "du {first} au {last}",
    "es": "del {first} al {last}",
    "it": "{first} – {last}",
    "sv": "{first} till {last}",
}
# Names of what is counted, by number: one, other. Units of measure have one form.
UNIT_WORDS = {
    "en": {
        "day": ("day", "days"), "half_day": ("half day", "half days"), "hour": ("h", "h"), "piece": ("piece", "pieces"), "picture": ("picture", "pictures"),
        "kilometre": ("km", "km"), "mile": ("mi", "mi"), "minute": ("min", "min"), "copy": ("copy", "copies"), "month": ("month", "months"),
        "": ("", ""),
    },
    "de": {
        "day": ("Tag", "Tage"), "half_day": ("halber Tag", "halbe Tage"), "hour": ("Std.", "Std."), "piece": ("Stück", "Stück"), "picture": ("Bild", "Bilder"),
        "kilometre": ("km", "km"), "mile": ("Meilen", "Meilen"), "minute": ("Min.", "Min."), "copy": ("Exemplar", "Exemplare"), "month": ("Monat", "Monate"),
        "": ("", ""),
    },
    "fr": {
        "day": ("jour", "jours"),
        "half_day": ("demi-journée", "demi-journées"),
        "hour": ("h", "h"),
        "piece": ("pièce", "pièces"),
        "picture": ("photo", "photos"),
        "kilometre": ("km", "km"),
        "mile": ("mile", "miles"),
        "minute": ("min", "min"),
        "copy": ("exemplaire", "exemplaires"),
        "month": ("mois", "mois"),
        "": ("", ""),
    },
    "es": {
        "day": ("día", "días"),
        "half_day": ("media jornada", "medias jornadas"),
        "hour": ("h", "h"),
        "piece": ("pieza", "piezas"),
        "picture": ("foto", "fotos"),
        "kilometre": ("km", "km"),
        "mile": ("milla", "millas"),
        "minute": ("min", "min"),
        "copy": ("ejemplar", "ejemplares"),
        "month": ("mes", "meses"),
        "": ("", ""),
    },
    "it": {
        "day": ("giorno", "giorni"),
        "half_day": ("mezza giornata", "mezze giornate"),
        "hour": ("h", "h"),
        "piece": ("pezzo", "pezzi"),
        "picture": ("foto", "foto"),
        "kilometre": ("km", "km"),
        "mile": ("miglio", "miglia"),
        "minute": ("min", "min"),
        "copy": ("copia", "copie"),
        "month": ("mese", "mesi"),
        "": ("", ""),
    },
    "sv": {
        "day": ("dag", "dagar"),
        "half_day": ("halvdag", "halvdagar"),
        "hour": ("tim", "tim"),
        "piece": ("styck", "styck"),
        "picture": ("bild", "bilder"),
        "kilometre": ("km", "km"),
        "mile": ("mile", "mile"),
        "minute": ("min", "min"),
        "copy": ("exemplar", "exemplar"),
        "month": ("månad", "månader"),
        "": ("", ""),
    },
}  # fmt: skip
RATE_WORDS = {
    "en": {
        "day": "{sum} a day", "half_day": "{sum} a half day", "hour": "{sum} an hour", "piece": "{sum} each", "picture": "{sum} a picture",
        "kilometre": f"{{sum}} a{HARD}km", "mile": "{sum} a mile", "minute": "{sum} a minute", "copy": "{sum} a copy", "month": "{sum} a month", "": "{sum}",
    },
    "de": {
        "day": "{sum} je Tag", "half_day": "{sum} je halben Tag", "hour": "{sum} je Stunde", "piece": "{sum} je Stück", "picture": "{sum} je Bild",
        "kilometre": f"{{sum}} je{HARD}km", "mile": "{sum} je Meile", "minute": "{sum} je Minute", "copy": "{sum} je Exemplar", "month": "{sum} je Monat",
        "": "{sum}",
    },
    "fr": {
        "day": "{sum} par jour",
        "half_day": "{sum} par demi-journée",
        "hour": "{sum} par h",
        "piece": "{sum} par pièce",
        "picture": "{sum} par photo",
        "kilometre": "{sum} par km",
        "mile": "{sum} par mile",
        "minute": "{sum} par min",
        "copy": "{sum} par exemplaire",
        "month": "{sum} par mois",
        "": "{sum}",
    },
    "es": {
        "day": "{sum} por día",
        "half_day": "{sum} por media jornada",
        "hour": "{sum} por h",
        "piece": "{sum} por pieza",
        "picture": "{sum} por foto",
        "kilometre": "{sum} por km",
        "mile": "{sum} por milla",
        "minute": "{sum} por min",
        "copy": "{sum} por ejemplar",
        "month": "{sum} por mes",
        "": "{sum}",
    },
    "it": {
        "day": "{sum} per giorno",
        "half_day": "{sum} per mezza giornata",
        "hour": "{sum} per h",
        "piece": "{sum} per pezzo",
        "picture": "{sum} per foto",
        "kilometre": "{sum} per km",
        "mile": "{sum} per miglio",
        "minute": "{sum} per min",
        "copy": "{sum} per copia",
        "month": "{sum} per mese",
        "": "{sum}",
    },
    "sv": {
        "day": "{sum} per dag",
        "half_day": "{sum} per halvdag",
        "hour": "{sum} per tim",
        "piece": "{sum} per styck",
        "picture": "{sum} per bild",
        "kilometre": "{sum} per km",
        "mile": "{sum} per mile",
        "minute": "{sum} per min",
        "copy": "{sum} per exemplar",
        "month": "{sum} per månad",
        "": "{sum}",
    },
}  # fmt: skip


class InvalidDecimal(ValueError):
    """What was typed is no number, or can be read in two ways."""


class InvalidDay(ValueError):
    """What was typed is no day of the calendar."""


def language_of(language: str) -> str:
    """The nearest language our papers are in: de-AT is de, anything unknown is en."""
    short = _spoken(language)
    return short if short in PAPERS_IN else "en"


def money(amount: Decimal, currency: str, language: str) -> str:
    """€2,539.84 in English, 2.539,84 € in German, −€5.00 below zero; always the currency's decimals."""
    return _minus(format_currency(round_money(amount, currency), currency, locale=_locale(language)))


def money_code(amount: Decimal, currency: str, language: str) -> str:
    """EUR 2,539.84 with a hard space, for contracts; other languages put the code behind: 2.539,84 EUR."""
    figure = plain_money(amount, currency, language)
    return f"{currency}{HARD}{figure}" if _spoken(language) == "en" else f"{figure}{HARD}{currency}"


def plain_money(amount: Decimal, currency: str, language: str) -> str:
    """2,539.84 without a sign, for tables of one currency."""
    rounded = round_money(amount, currency)
    decimals = max(0, -int(rounded.as_tuple().exponent))
    return _minus(
        format_decimal(rounded, format="#,##0" + ("." + "0" * decimals if decimals else ""), locale=_locale(language))
    )


def number(value: Decimal | int, language: str, decimals: int = 4) -> str:
    """A quantity with as many decimals as it has, at most ``decimals``, half up: 3.75, 1,234.5."""
    return _minus(
        format_decimal(
            _half_up(value, decimals),
            format="#,##0." + "#" * decimals if decimals else "#,##0",
            locale=_locale(language),
        )
    )


def percent(value: Decimal | int, language: str) -> str:
    """19% in English, 19 % in German. ``value`` is in per cent."""
    figure = number(value, language, 2)
    return f"{figure}%" if _spoken(language) in ("en", "it") else f"{figure}{HARD}%"


def quantity(value: Decimal | int, unit: str, language: str) -> str:
    """46 km, 9 pictures, 1 day, 0.5 days. ``unit`` is a name of UNIT_WORDS; an unknown one is printed as it is."""
    one, other = UNIT_WORDS[_spoken(language)].get(unit, (unit, unit))
    word = one if _locale(language).plural_form(_half_up(value, 4).normalize()) == "one" else other
    return f"{number(value, language)}{HARD}{word}" if word else number(value, language)


def rate(amount: Decimal, currency: str, unit: str, language: str) -> str:
    """€65.00 an hour, 65,00 € je Stunde. A rate may have more decimals than money: €0.425 a km."""
    if round_money(amount, currency) == amount:
        figure = money(amount, currency, language)
    else:
        pattern = _locale(language).currency_formats["standard"].pattern.replace("0.00", "0.00##")
        figure = _minus(
            format_currency(_half_up(amount, 4), currency, pattern, locale=_locale(language), currency_digits=False)
        )
    return RATE_WORDS[_spoken(language)].get(unit, "{sum} " + unit).format(sum=figure)


def with_capital(text: str) -> str:
    """The text with a large first letter, the rest as it is."""
    return text[:1].upper() + text[1:]


def day(value: date, language: str) -> str:
    """14 Nov 2026, 14. Nov. 2026."""
    return _date(value, DAY_PATTERNS.get(_spoken(language), f"d{HARD}MMM{HARD}y"), language)


def short_day(value: date, language: str) -> str:
    """14 Nov, 14. Nov., where the year is plain."""
    return _date(value, SHORT_PATTERNS.get(_spoken(language), f"d{HARD}MMM"), language)


def long_day(value: date, language: str) -> str:
    """Saturday 14 November 2026; Samstag, 14. November 2026."""
    return _date(value, LONG_PATTERNS.get(_spoken(language), f"EEEE d{HARD}MMMM y"), language)


def written_day(value: date, language: str) -> str:
    """14 November 2026, 14. November 2026, as in a letter."""
    return _date(value, PLAIN_LONG_PATTERNS.get(_spoken(language), f"d{HARD}MMMM y"), language)


def month(value: date, language: str) -> str:
    """November 2026."""
    return format_date(value, MONTH_PATTERNS.get(_spoken(language), "MMMM y"), locale=_locale(language))


def days(first: date, last: date, language: str) -> str:
    """1 Mar 2026 to 28 Feb 2027, both inclusive; one day alone when they are the same."""
    if first == last:
        return day(first, language)
    return RANGES[_spoken(language)].format(first=day(first, language), last=day(last, language))


def moment(value: datetime, zone: tzinfo, language: str) -> str:
    """14 Nov 2026, 10:42 in ``zone``, by the 24-hour clock."""
    there = value.astimezone(zone)
    return f"{day(there.date(), language)}, {there:%H:%M}"


def list_in_words(items: Sequence[str], language: str) -> str:
    """website, menu and social media; Website, Speisekarte und soziale Medien."""
    return str(format_list(list(items), style="standard", locale=_locale(language))) if items else ""


def country(code: str, language: str) -> str:
    """The name of an ISO 3166 alpha-2 country; the code itself when CLDR has no name."""
    return str(_locale(language).territories.get(code, code))


def currency_sign(currency: str, language: str) -> str:
    """€ for EUR."""
    return get_currency_symbol(currency, locale=_locale(language))


def known_currency(currency: str) -> bool:
    """Whether ISO 4217 knows this code, past or present (CLDR's list)."""
    return currency in get_global("all_currencies")


def has_cents(currency: str) -> bool:
    """Whether its sums have two decimals (CLDR's list): the house reckons every sum to the cent, so no other currency is offered."""
    return get_currency_precision(currency) == minor_units(currency) == 2


def plain_spaces(text: str) -> str:
    """``text`` with every hard or narrow space made a plain one, for comparing and searching."""
    return re.sub("[\u00a0\u202f\u2009]", " ", text)


def parse_decimal(text: str, language: str | None = None) -> Decimal:
    """The number in “1,234.50”, “1.234,50”, “1 234,50”, “€12”, “−3”. Raises InvalidDecimal with what to write instead.

    Where both marks stand, the last is the decimal mark. One mark with exactly three digits behind it ("1.234") can be read in two ways:
    it is read by ``language`` if one is given, and refused otherwise. A zero before the mark (0.125) leaves no doubt.
    """
    bare = re.sub(r"[\s\u00a0\u202f\u2009'’_]", "", text).replace(MINUS, "-")
    bare = re.sub(r"^(-?)(?:€|£|\$|EUR|GBP|USD|CHF)|(?:€|£|\$|EUR|GBP|USD|CHF)$", r"\1", bare)
    marks = [each for each in bare if each in ".,"]
    decimal_mark = marks[-1] if marks else "."
    if len(set(marks)) == 1 and len(marks) > 1:
        decimal_mark = "." if marks[0] == "," else ","
    elif len(marks) == 1 and re.fullmatch(r"-?[1-9]\d{0,2}[.,]\d{3}", bare):
        if language is None:
            whole = re.sub(r"[.,]", "", bare)
            raise InvalidDecimal(
                f"“{text}” can be read in two ways. Write {whole} for the large number, or {bare.replace(',', '.')}0 for the small one."
            )
        decimal_mark = "." if _spoken(language) == "en" else ","
    grouping = "," if decimal_mark == "." else "."
    whole, _, _ = bare.partition(decimal_mark)
    grouped = grouping not in bare or re.fullmatch(rf"-?\d{{1,3}}(?:{re.escape(grouping)}\d{{3}})+", whole)
    plain = bare.replace(grouping, "").replace(decimal_mark, ".")
    if not grouped or not re.fullmatch(r"-?([0-9]+(\.[0-9]*)?|\.[0-9]+)", plain):
        raise InvalidDecimal(f"“{text}” is not a number. Write digits, for example 1234.50.")
    return Decimal(plain)


def parse_day(text: str) -> date:
    """The day in “14 Nov 2026”, “14. November 2026”, “14.11.2026” or “2026-11-14”, months in English or German.

    Raises InvalidDay with what to write instead. Slashes are refused: 3/4 is two different days on two sides of a sea.
    """
    bare = re.sub(r"\s+", " ", plain_spaces(text)).strip()
    try:
        if found := re.fullmatch(r"(\d{4})-(\d{1,2})-(\d{1,2})", bare):
            return date(int(found[1]), int(found[2]), int(found[3]))
        if found := re.fullmatch(r"(\d{1,2})\. ?(\d{1,2})\. ?(\d{4})", bare):
            return date(int(found[3]), int(found[2]), int(found[1]))
        if found := re.fullmatch(r"(?:[^\W\d]+\.?,? )?(\d{1,2})\.? ?([^\W\d]+)\.?,? (\d{4})", bare):
            return date(int(found[3]), _month_names()[found[2].lower()], int(found[1]))
    except (ValueError, KeyError):
        raise InvalidDay(
            f"“{text}” is not a day of the calendar. Write the day like 14 Nov 2026 or 2026-11-14."
        ) from None
    raise InvalidDay(f"“{text}” cannot be read as a day. Write it like 14 Nov 2026, 14.11.2026 or 2026-11-14.")


def _spoken(language: str) -> str:
    short = language.lower().replace("_", "-").split("-")[0]
    return short if short in LOCALES else "en"


@lru_cache
def _locale(language: str) -> Locale:
    return Locale.parse(LOCALES[_spoken(language)])


@lru_cache
def _month_names() -> dict[str, int]:
    names: dict[str, int] = {"sep": 9, "sept": 9, "mrz": 3}
    for language in PAPERS_IN:
        tag = LOCALES[language]
        for width in ("wide", "abbreviated"):
            for index, name in Locale.parse(tag).months["format"][width].items():
                names[name.lower().rstrip(".")] = index
    return names


def _date(value: date, pattern: str, language: str) -> str:
    """By CLDR, but French counts the first day of a month as *1er*, which CLDR's patterns cannot say."""
    if value.day == 1 and _spoken(language) == "fr":
        pattern = pattern.replace(f"d{HARD}", f"d'er'{HARD}")
    return format_date(value, pattern, locale=_locale(language))


def _half_up(value: Decimal | int, decimals: int) -> Decimal:
    return Decimal(value).quantize(Decimal(1).scaleb(-decimals), rounding=ROUND_HALF_UP)


def _minus(text: str) -> str:
    return text.replace("-", MINUS)
