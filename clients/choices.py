"""Countries and currencies in use today, by CLDR's lists through Babel, sorted by name."""

from functools import lru_cache

from babel import Locale
from babel.core import get_global
from babel.numbers import get_territory_currencies

from shared.words.formats import has_cents

# CLDR lists a few codes that are no country: the UN, the EU and the eurozone, outlying Oceania, made-up ones, unknown.
NO_COUNTRY = frozenset({"UN", "EU", "EZ", "QO", "XA", "XB", "ZZ"})


@lru_cache
def country_choices(language: str) -> tuple[tuple[str, str], ...]:
    """(DE, Germany), …"""
    names = Locale.parse(language).territories
    found = [
        (code, name) for code, name in names.items() if len(code) == 2 and code.isalpha() and code not in NO_COUNTRY
    ]
    return tuple(sorted(found, key=lambda each: each[1]))


@lru_cache
def currency_choices(language: str) -> tuple[tuple[str, str], ...]:
    """(EUR, EUR, Euro), …: tender somewhere today and reckoned to the cent; codes of funds and metals are left out."""
    names = Locale.parse(language).currencies
    codes = {
        code for land in get_global("territory_currencies") for code in get_territory_currencies(land, tender=True)
    }
    return tuple((code, f"{code}, {names.get(code, code)}") for code in sorted(codes) if has_cents(code))
