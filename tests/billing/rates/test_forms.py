from datetime import date
from fractions import Fraction

import pytest

from billing.rates.forms import RateCardForm, UsageFeesForm
from billing.rates.queries import starting_rates
from billing.rates.starting_card import STARTING_CARD

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("day_rate", "0"),
        ("overtime_rate", "-5"),
        ("deposit_percent", "140"),
        ("hire_markup_percent", "101"),
        ("rush_percent", "-1"),
        ("food_rate", "-1"),
        ("day_rate", "12345678901.00"),
        ("travel_day_km", "149"),
        ("currency", "XQX"),
        ("currency", "JPY"),
        ("hours_in_day", "30"),
    ],
)
def test_rates_that_cannot_be_are_refused_under_their_field(field, value):
    card = starting_rates(date(2026, 1, 1))
    typed = {name: str(getattr(card, name)) for name in RateCardForm.Meta.fields} | {"version": "1"}
    assert RateCardForm(typed, instance=starting_rates(date(2026, 1, 1))).is_valid()
    form = RateCardForm(typed | {field: value}, instance=card)
    assert field in form.errors


# Usage fees


def sheet(starts_on: date | None = None) -> UsageFeesForm:
    return UsageFeesForm(instance=starting_rates(date(2026, 1, 1)), starts_on=starts_on)


def as_typed(**also: str) -> dict[str, str]:
    """What the page sends if nothing is changed, but ``also``."""
    form = sheet()
    found = {name: form[name].value() for name in form.fields}
    return {name: "" if value is None else str(value) for name, value in found.items()} | {
        name.replace("__", "-"): value for name, value in also.items()
    }


def usage_form(**also: str) -> UsageFeesForm:
    return UsageFeesForm(as_typed(**also), instance=starting_rates(date(2026, 1, 1)))


def test_a_sheet_nobody_changed_is_the_same_card():
    form = usage_form()
    assert form.is_valid(), form.errors
    assert form.card == STARTING_CARD


def test_figures_points_bands_and_countries_are_read_as_people_write_them():
    spare = len(STARTING_CARD.term) - 1
    form = usage_form(
        base="1,200.00", media_print_menu="0.45", territories__0__limit="usa, Iceland", **{f"term__{spare}__limit": "18", f"term__{spare}__factor": "1.3"}
    )  # fmt: skip
    assert form.is_valid(), form.errors
    card = form.card
    assert (card.base, card.media.factor("print.menu")) == (1200, Fraction("0.45"))
    assert (card.territories.factor("IS"), card.territories.factor("US")) == (Fraction("1.7"), Fraction("1.7"))
    assert (18, Fraction("1.3")) in card.term
    assert card.term == tuple(sorted(card.term))


def test_an_emptied_line_is_left_out():
    form = usage_form(copy_bands__0__limit="", copy_bands__0__factor="")
    assert form.is_valid(), form.errors
    assert form.card.copy_bands[0][0] == 5000


@pytest.mark.parametrize(
    ("typed", "field", "words"),
    [
        ({"base": ""}, "base", "This is missing"),
        ({"base": "much"}, "base", "is not a number"),
        ({"base": "0"}, "base", "Enter a sum above 0"),
        ({"base": "100000.01"}, "base", "100000 or less"),
        ({"handling": "-1"}, "handling", "Enter 0 or more"),
        ({"minimum": "91"}, "minimum", "multiple of the step"),
        ({"media_print_menu": "0"}, "media_print_menu", "Enter a factor above 0"),
        ({"media_print_menu": "101"}, "media_print_menu", "100 or less"),
        ({"exclusivity_trade": "3"}, "exclusivity_picture", "at least as much"),
        ({"term__4__factor": "1.9"}, "term-4-factor", "Enter at most 1.6 here"),
        ({"term__4__factor": "0.9"}, "term-4-factor", "cannot weigh less"),
        ({"term__4__limit": "12"}, "term-4-limit", "12 is here twice"),
        ({"term__4__limit": ""}, "term-4-limit", "Fill in both"),
        ({"term__4__factor": ""}, "term-4-factor", "Fill in both"),
        ({"term__4__limit": "1.5"}, "term-4-limit", "whole number"),
        ({"term_perpetual": "2"}, "term_perpetual", "without end"),
        ({"picture_bands__1__factor": "1.5"}, "picture_bands-1-factor", "cannot weigh more"),
        ({"copy_bands_rest": "1"}, "copy_bands_rest", "cannot weigh less"),
        ({"territories__0__limit": "Germny"}, "territories-0-limit", "no country we know"),
        ({"territories__0__limit": "USA, China"}, "territories-1-limit", "In a line above already: China"),
    ],
)
def test_a_usage_fee_that_cannot_be_is_refused_at_its_row(typed, field, words):
    form = usage_form(**typed)
    assert not form.is_valid()
    assert form.card is None
    assert words in " ".join(form.errors[field])
    for name, value in typed.items():
        assert form[name.replace("__", "-")].value() == value


def test_fees_larger_than_an_estimate_holds_are_refused():
    assert "100 million" in " ".join(usage_form(base="100000", territories_world="100").errors["base"])


def test_only_new_fees_ask_from_when_they_count():
    assert sheet(date(2026, 7, 1))["valid_from"].value() == date(2026, 7, 1)
    assert "valid_from" not in sheet().fields


def test_each_list_has_a_spare_line_and_one_that_waits_for_the_script():
    lines = sheet().term_lines()
    assert len(lines.lines) == len(STARTING_CARD.term)
    assert lines.lines[-1][0].value() is None
    assert lines.empty[0].html_name == "term-__prefix__-limit"
    assert lines.total.value() == len(lines.lines)


def test_a_count_of_lines_that_cannot_be_is_not_believed():
    for count in ("-1", "lots", "99999999"):
        assert len(UsageFeesForm({"term-TOTAL_FORMS": count}, instance=starting_rates(date(2026, 1, 1))).term_lines().lines) == len(STARTING_CARD.term)  # fmt: skip
    assert len(UsageFeesForm({"term-TOTAL_FORMS": "900"}, instance=starting_rates(date(2026, 1, 1))).term_lines().lines) == 40  # fmt: skip
