"""Money and dates as pages that print CLDR data show them; our minus (U+2212) and hard spaces in dates are our own rule.

Babel documentation, "Numbers and Currencies", format_currency. MDN web docs, "Intl.NumberFormat" and "Intl.DateTimeFormat", first examples.
EU Interinstitutional Style Guide, 7.3.3 "Rules for expressing monetary units". Each page was read in November 2026.
"""

from datetime import date
from decimal import Decimal

from shared.words import formats


def test_german_euros_as_babel_prints_them() -> None:
    """Babel, format_currency(1099.98, 'EUR', locale='de_DE')."""
    assert formats.money(Decimal("1099.98"), "EUR", "de") == "1.099,98\u00a0€"


def test_german_euros_as_browsers_print_them() -> None:
    """MDN, Intl.NumberFormat('de-DE', currency EUR) of 123456.789; the yen has no minor unit there either."""
    assert formats.plain_spaces(formats.money(Decimal("123456.789"), "EUR", "de")) == "123.456,79 €"
    assert formats.plain_money(Decimal("123456.789"), "JPY", "en") == "123,457"


def test_the_word_order_of_a_long_english_day() -> None:
    """MDN, Intl.DateTimeFormat('en-GB', dateStyle full): Sunday, 20 December 2020; CLDR dropped that comma later."""
    assert formats.plain_spaces(formats.long_day(date(2020, 12, 20), "en")) == "Sunday 20 December 2020"


def test_contracts_write_the_code_a_hard_space_and_the_figure() -> None:
    """Interinstitutional Style Guide 7.3.3: the ISO code, a hard space, the amount; in German the code follows the amount."""
    assert formats.money_code(Decimal(300), "GBP", "en") == "GBP\u00a0300.00"
    assert formats.money_code(Decimal(300), "GBP", "de") == "300,00\u00a0GBP"
