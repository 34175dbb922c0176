from datetime import UTC, date, datetime, timedelta
from decimal import Decimal as D
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared.words import formats
from shared.words.formats import InvalidDay, InvalidDecimal, plain_spaces

NOVEMBER = date(2026, 11, 14)
amounts = st.integers(-(10**10), 10**10).map(lambda each: D(each) / 100)
days = st.dates(date(1900, 1, 1), date(2999, 12, 31))


@pytest.mark.parametrize(
    ("amount", "currency", "language", "text"),
    [
        ("2539.84", "EUR", "en", "€2,539.84"),
        ("2539.84", "EUR", "de", "2.539,84\u00a0€"),
        ("-1015.94", "EUR", "en", "−€1,015.94"),
        ("-1015.94", "EUR", "de", "−1.015,94\u00a0€"),
        ("2.665", "GBP", "en", "£2.67"),
        ("0.125", "GBP", "en", "£0.13"),
        ("5", "EUR", "de-AT", "5,00\u00a0€"),
        ("1499.5", "JPY", "de", "1.500\u00a0¥"),
        ("-0.004", "EUR", "en", "€0.00"),
        ("7", "EUR", "xx", "€7.00"),
    ],
)
def test_money_is_written_in_the_language_of_the_paper(amount: str, currency: str, language: str, text: str) -> None:
    assert formats.money(D(amount), currency, language) == text


def test_contracts_name_the_currency_by_its_code() -> None:
    assert formats.money_code(D("2539.84"), "EUR", "en") == "EUR\u00a02,539.84"
    assert formats.money_code(D("2539.84"), "EUR", "de") == "2.539,84\u00a0EUR"


def test_a_column_of_one_currency_drops_the_sign() -> None:
    assert formats.plain_money(D("-2079.115"), "EUR", "en") == "−2,079.12"
    assert formats.plain_money(D("2079.1"), "EUR", "de") == "2.079,10"
    assert formats.plain_money(D("2079.1"), "JPY", "de") == "2.079"


def test_percentages_have_a_hard_space_in_german() -> None:
    assert formats.percent(D("19.00"), "en") == "19%"
    assert formats.percent(D("12.5"), "de") == "12,5\u00a0%"


@pytest.mark.parametrize(
    ("value", "unit", "language", "text"),
    [
        ("46", "kilometre", "en", "46 km"),
        ("3.75", "hour", "en", "3.75 h"),
        ("1.0000", "day", "en", "1 day"),
        ("0.5", "day", "en", "0.5 days"),
        ("1", "day", "de", "1 Tag"),
        ("9", "picture", "de", "9 Bilder"),
        ("1234.5", "", "de", "1.234,5"),
        ("2", "plate", "en", "2 plate"),
    ],
)
def test_quantities_carry_their_unit(value: str, unit: str, language: str, text: str) -> None:
    assert plain_spaces(formats.quantity(D(value), unit, language)) == text


def test_rates_say_for_what() -> None:
    assert formats.rate(D(65), "EUR", "hour", "en") == "€65.00 an hour"
    assert plain_spaces(formats.rate(D("0.425"), "EUR", "kilometre", "en")) == "€0.425 a km"
    assert plain_spaces(formats.rate(D("0.425"), "EUR", "kilometre", "de")) == "0,425 € je km"
    assert formats.rate(D(10), "EUR", "plate", "en") == "€10.00 plate"


def test_days_are_written_in_the_language_of_the_paper() -> None:
    assert plain_spaces(formats.day(NOVEMBER, "en")) == "14 Nov 2026"
    assert plain_spaces(formats.day(NOVEMBER, "de")) == "14. Nov. 2026"
    assert plain_spaces(formats.long_day(NOVEMBER, "en")) == "Saturday 14 November 2026"
    assert plain_spaces(formats.long_day(NOVEMBER, "de")) == "Samstag, 14. November 2026"
    assert plain_spaces(formats.written_day(NOVEMBER, "en")) == "14 November 2026"
    assert plain_spaces(formats.short_day(NOVEMBER, "de")) == "14. Nov."
    assert formats.month(date(2026, 3, 1), "de") == "März 2026"


def test_day_and_month_are_never_torn_apart() -> None:
    assert formats.day(NOVEMBER, "en") == "14\u00a0Nov\u00a02026"


def test_a_range_of_days_is_said_in_words() -> None:
    first, last = date(2026, 3, 1), date(2027, 2, 28)
    assert plain_spaces(formats.days(first, last, "en")) == "1 Mar 2026 to 28 Feb 2027"
    assert plain_spaces(formats.days(first, last, "de")) == "1. März 2026 bis 28. Feb. 2027"
    assert plain_spaces(formats.days(first, first, "en")) == "1 Mar 2026"


def test_moments_are_told_in_the_zone_of_the_reader() -> None:
    at = datetime(2026, 11, 14, 23, 42, tzinfo=UTC)
    assert plain_spaces(formats.moment(at, ZoneInfo("Europe/Berlin"), "en")) == "15 Nov 2026, 00:42"


def test_lists_and_countries_are_words() -> None:
    assert formats.list_in_words(["website", "menu", "press"], "en") == "website, menu and press"
    assert formats.list_in_words(["Website", "Speisekarte"], "de") == "Website und Speisekarte"
    assert formats.list_in_words([], "en") == ""
    assert formats.country("DE", "en") == "Germany"
    assert formats.country("AT", "de") == "Österreich"
    assert formats.country("XQ", "de") == "XQ"
    assert formats.currency_sign("EUR", "en") == "€"
    assert formats.known_currency("EUR")
    assert not formats.known_currency("QQQ")


def test_currencies_of_other_than_two_decimals_are_told():
    """Decimals by ISO 4217 (minor unit), from memory: JPY, ISK, KRW and UGX 0, KWD and TND 3, the others 2."""
    assert all(formats.has_cents(code) for code in ("EUR", "CHF", "GBP", "USD", "SEK", "HUF"))
    assert not any(formats.has_cents(code) for code in ("JPY", "ISK", "KRW", "UGX", "KWD", "TND"))


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("1.234,50", "1234.50"), ("1,234.50", "1234.50"), ("1234.5", "1234.5"), ("1 234,5", "1234.5"), ("1\u202f234,50", "1234.50"), ("0.125", "0.125"),
        ("0,125", "0.125"), ("€ 12", "12"), ("12 €", "12"), ("−3", "-3"), ("-€3", "-3"), ("1.234.567", "1234567"), ("1,234,567.891", "1234567.891"), ("19", "19"),
        ("183.4000", "183.4000"), ("1’234.50", "1234.50"), ("−€1,015.94", "-1015.94"),
    ],
)  # fmt: skip
def test_numbers_are_read_with_a_point_or_a_comma(text: str, value: str) -> None:
    assert formats.parse_decimal(text) == D(value)


@pytest.mark.parametrize(
    "text",
    ["", "-", "abc", "1.2.3", "1,23,4", "12.34,567", "NaN", "1e5", "1,2345.6", "1,2,3.4", "Infinity", "5 €x", "٣"],
)
def test_what_is_no_number_is_refused_with_an_example(text: str) -> None:
    with pytest.raises(InvalidDecimal, match=r"for example 1234\.50"):
        formats.parse_decimal(text)


def test_a_number_that_reads_two_ways_is_asked_back_unless_the_language_is_known() -> None:
    with pytest.raises(InvalidDecimal, match=r"Write 1234 for the large number, or 1\.2340 for the small one"):
        formats.parse_decimal("1.234")
    assert formats.parse_decimal("1.234", "de") == 1234
    assert formats.parse_decimal("1.234", "en") == D("1.234")
    assert formats.parse_decimal("1,234", "en") == 1234


@given(amounts, st.sampled_from(["en", "de"]))
def test_money_as_printed_is_read_back_as_it_was(amount: D, language: str) -> None:
    assert formats.parse_decimal(formats.money(amount, "EUR", language)) == amount
    assert formats.parse_decimal(formats.plain_money(amount, "EUR", language)) == amount


@given(days, st.sampled_from(["en", "de"]))
def test_days_as_printed_are_read_back_as_they_were(day: date, language: str) -> None:
    for write in (formats.day, formats.long_day, formats.written_day):
        assert formats.parse_day(write(day, language)) == day
    assert formats.parse_day(day.isoformat()) == day


@pytest.mark.parametrize(
    "text",
    ["14.11.2026", "14. 11. 2026", "14 Nov. 2026", "14 nov 2026", "14Nov 2026", "14. November 2026", " 2026-11-14 "],
)
def test_days_are_read_as_people_write_them(text: str) -> None:
    assert formats.parse_day(text) == NOVEMBER


def test_september_is_read_long_and_short() -> None:
    assert {formats.parse_day(text) for text in ("1 Sep 2026", "1 Sept 2026", "1 September 2026")} == {date(2026, 9, 1)}


@pytest.mark.parametrize("text", ["31 Feb 2026", "14/11/2026", "14 Foo 2026", "2026-13-01", "", "14.11.26", "tomorrow"])
def test_what_is_no_day_is_refused_with_an_example(text: str) -> None:
    with pytest.raises(InvalidDay, match="14 Nov 2026"):
        formats.parse_day(text)


def test_the_days_of_a_month_all_come_back() -> None:
    assert [formats.parse_day(formats.day(NOVEMBER + timedelta(days=each), "de")).day for each in range(3)] == [
        14,
        15,
        16,
    ]
