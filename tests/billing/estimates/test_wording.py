from datetime import date
from decimal import Decimal

from billing.estimates.wording import (
    TermsGiven,
    deposit_in_words,
    finishing_working,
    opening_in_words,
    option_title,
    promise_in_words,
    terms_in_words,
    travel_working,
)
from shared.words.formats import plain_spaces

TERMS = TermsGiven(
    currency="EUR", promise="fixed", tolerance_percent=Decimal(10), deposit_percent=Decimal(40), deposit_days=7, rounds_included=1,
    further_round_rate=Decimal(60), overtime_rate=Decimal(120), hours_in_day=Decimal(8), cancellation_free_days=5,
    cancellation_percent=Decimal(50), cancellation_day_percent=Decimal(100), is_weather_free_once=True, billable_when="delivered",
    portfolio_from=date(2027, 1, 1), further_terms="",
)  # fmt: skip


def test_at_most_five_terms_stand_in_short():
    for language in ("en", "de"):
        assert sum(term.is_short for term in terms_in_words(TERMS, language)) == 5


def test_the_terms_name_every_figure_the_photographer_set():
    said = plain_spaces(" ".join(term.sentence for term in terms_in_words(TERMS, "en")))
    for figure in (
        "40% deposit, due 7 days",
        "one round",
        "€60.00 an hour",
        "5 working days",
        "50% of the day rate",
        "100%",
        "€120.00 an hour after 8 h",
        "1 Jan 2027",
    ):
        assert figure in said


def test_the_promise_is_fixed_or_names_its_tolerance():
    assert (
        promise_in_words("fixed", Decimal(10), "en", has_at_most=False)
        == "The price is fixed, except costs marked at most."
    )
    assert "may rise by up to 10%" in promise_in_words("tolerance", Decimal(10), "en")


def test_no_deposit_is_said():
    assert deposit_in_words(Decimal(0), 7, "en") == "No deposit is asked for."


def test_each_working_shows_its_arithmetic():
    assert plain_spaces(finishing_working(9, 25, Decimal("3.75"), "en")) == "25 min a picture: 9 × 25 min = 3.75 h"
    assert plain_spaces(travel_working(Decimal(23), 1, "de")) == "23 km hin, 23 km zurück"
    assert option_title(1, "de") == "Ein Bild"
    assert "Winter menu" in opening_in_words("Maro", "Winter menu", None, "en")


def test_the_opening_names_both_days_of_a_longer_shoot():
    said = opening_in_words("Maro", "Winter menu", date(2026, 11, 20), "en", last=date(2026, 11, 21))
    assert (
        said.replace("\u00a0", " ")
        == "Dear Maro, this is what we talked about: Winter menu, 20 Nov 2026 to 21 Nov 2026."
    )
