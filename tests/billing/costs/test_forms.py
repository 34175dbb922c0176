import pytest

from billing.costs.forms import CostSheet, CostYearForm, KitLineForm, TakeRatesForm, YearlyLineForm
from billing.costs.living import CostKind
from billing.costs.models import CostYear
from tests.factories.costs import COSTS

YEAR = {
    "currency": "eur", "income": "58,000", "weekends": "104", "days_typed": "100", "half_day_percent": "60", "hours_in_day": "8", "version": "0",
}  # fmt: skip
LINES = {"kit-TOTAL_FORMS": "1", "kit-INITIAL_FORMS": "0", "yearly-TOTAL_FORMS": "1", "yearly-INITIAL_FORMS": "0"}


def form(**typed: str) -> CostYearForm:
    return CostYearForm(YEAR | typed, instance=CostYear(year=2026, weekends=104, version=0))


@pytest.mark.parametrize(
    ("typed", "at", "words"),
    [
        ({"days_typed": "0"}, "days_typed", "Enter the days you work for paying clients"),
        ({"days_typed": "366"}, "days_typed", "2026 has 365 days"),
        ({"days_typed": "0.5"}, "days_typed", "At least one day"),
        ({"days_typed": "", "unpaid": "261"}, "unpaid", "No day is left"),
        ({"leave": "-1"}, "leave", "from 0 to 365"),
        ({"leave": "400"}, "leave", "from 0 to 365"),
        ({"income": "-5"}, "income", "0 or more"),
        ({"income": "1234567890"}, "income", "at most 10 million"),
        ({"tax_percent": "101"}, "tax_percent", "0 to 100"),
        ({"half_day_percent": "0"}, "half_day_percent", "A half day"),
        ({"hours_in_day": "25"}, "hours_in_day", "up to 24 hours"),
        ({"currency": "XXQ"}, "currency", "three letters"),
    ],
)
@pytest.mark.django_db
def test_a_year_that_cannot_be_is_said_at_its_field(typed, at, words):
    wrong = form(**typed)
    assert not wrong.is_valid()
    assert words in " ".join(wrong.errors[at])


@pytest.mark.django_db
def test_empty_counts_are_none_at_all():
    right = form(weekends="", leave="")
    assert right.is_valid()
    assert (right.cleaned_data["leave"], right.cleaned_data["tax_percent"], right.cleaned_data["currency"]) == (0, 0, "EUR")  # fmt: skip


@pytest.mark.parametrize(
    ("typed", "at", "words"),
    [
        ({"price": "10"}, "what", "Say what it is"),
        ({"what": "Lens", "price": "10", "years": "0", "bought_on": "1 Jul 2026"}, "years", "1 to 50"),
        ({"what": "Lens", "price": "10", "years": "4.5", "bought_on": "1 Jul 2026"}, "years", "1 to 50"),
        ({"what": "Lens", "price": "-10", "years": "4", "bought_on": "1 Jul 2026"}, "price", "0 or more"),
        ({"what": "Lens", "price": "12345678901", "years": "4", "bought_on": "1 Jul 2026"}, "price", "at most 10 million"),
        ({"what": "Lens", "price": "10", "years": "4"}, "bought_on", "the day it was bought"),
    ],
)  # fmt: skip
def test_kit_that_cannot_be_is_said_at_its_field(typed, at, words):
    wrong = KitLineForm(typed)
    assert not wrong.is_valid()
    assert words in " ".join(wrong.errors[at])


@pytest.mark.parametrize(
    ("typed", "at"),
    [
        ({"price": "10"}, "kind"),
        ({"kind": "other", "price": "10"}, "what"),
        ({"kind": "rent", "what": "Studio"}, "price"),
        ({"kind": "rent", "price": "-1"}, "price"),
    ],
)
def test_a_yearly_cost_is_whole_or_not_there(typed, at):
    assert list(YearlyLineForm(typed).errors) == [at]


@pytest.mark.django_db
def test_the_sheet_reads_its_lines_and_leaves_out_what_is_removed_or_empty():
    typed = YEAR | LINES | {
        "kit-TOTAL_FORMS": "2",
        "kit-0-what": "Camera", "kit-0-price": "6,000", "kit-0-years": "4", "kit-0-bought_on": "1 Jul 2026",
        "kit-1-what": "Lens", "kit-1-price": "900", "kit-1-years": "3", "kit-1-bought_on": "1 Jul 2026", "kit-1-DELETE": "on",
        "yearly-0-kind": "insurance", "yearly-0-price": "24,250",
    }  # fmt: skip
    sheet = CostSheet(typed, row=CostYear(year=2026, weekends=104, version=0), costs=[])
    assert sheet.is_valid(), sheet.mistakes()
    assert [(each.kind, each.what) for each in sheet.costs()] == [(CostKind.KIT, "Camera"), (CostKind.INSURANCE, "Insurance")]  # fmt: skip
    assert sheet.living().day == 830
    wrong = CostSheet(typed | {"yearly-0-price": "-1"}, row=CostYear(year=2026, weekends=104, version=0), costs=[])
    assert not wrong.is_valid()
    assert wrong.mistakes() == ["Sum a year: Enter a sum of 0 or more, for example 480."]


@pytest.mark.django_db
def test_a_saved_year_fills_both_lists():
    sheet = CostSheet(None, row=CostYear(year=2026, weekends=104), costs=list(COSTS))
    assert [form.initial.get("what") for form in sheet.kit.forms] == ["Camera and lenses", None]
    assert sheet.yearly.forms[0].initial["what"] == "Studio share"


def test_the_day_rates_begin_in_a_year_that_can_be():
    assert "valid_from" in TakeRatesForm({"valid_from": "1 Jan 1900", "step": "5"}, on=None).errors
    assert TakeRatesForm({"valid_from": "1 Jan 2027", "step": "5"}, on=None).is_valid()
    assert len(TakeRatesForm(on=None).steps()) == 4
