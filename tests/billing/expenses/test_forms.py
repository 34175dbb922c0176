from datetime import date
from decimal import Decimal

import pytest

from billing.estimates.models import Estimate, EstimateLine, EstimateOption
from billing.expenses.forms import AN_OLDER_SHOOT, AnswerForm, AskForMoreForm, ExpenseFilter, ExpenseForm, JourneyForm
from tests.factories.expenses import AT, MileageRateFactory, capped_line
from tests.factories.shared import BusinessProfileFactory
from tests.factories.shoots import ShootFactory

pytestmark = pytest.mark.django_db


def test_only_the_lines_of_the_accepted_estimate_of_that_shoot_are_offered():
    line = capped_line()
    other = capped_line_of_another_shoot()
    form = ExpenseForm(initial={"shoot": line.option.estimate.shoot})
    assert list(form.fields["estimate_line"].queryset) == [line]
    assert other not in form.fields["estimate_line"].queryset


def capped_line_of_another_shoot():
    estimate = Estimate.objects.create(number="E-2026-048", shoot=ShootFactory(), made_at=AT)
    option = EstimateOption.objects.create(estimate=estimate, letter="A", title="One")
    return EstimateLine.objects.create(option=option, what="Props", is_at_most=True, unit_price=Decimal(10))


def test_money_in_the_clients_name_carries_no_mark_up():
    line = capped_line()
    typed = {
        "what": "Permit",
        "kind": "other",
        "spent_on": "2026-11-13",
        "gross": "120",
        "charge": "disbursement",
        "markup_percent": "15",
        "shoot": line.option.estimate.shoot_id,
        "version": "1",
    }
    form = ExpenseForm(typed)
    assert not form.is_valid()
    assert list(form.errors) == ["markup_percent"]


def test_a_mark_up_needs_its_percentage_and_a_line_needs_a_way_of_charging():
    line = capped_line()
    typed = {
        "what": "Plates",
        "kind": "props",
        "spent_on": "2026-11-13",
        "gross": "120",
        "charge": "with_markup",
        "shoot": line.option.estimate.shoot_id,
        "version": "1",
    }
    assert "markup_percent" in ExpenseForm(typed).errors
    assert "charge" in ExpenseForm({**typed, "charge": "not", "estimate_line": line.pk}).errors


def typed_under(line, **also):
    return {
        "what": "Plates",
        "kind": "props",
        "spent_on": "2026-11-13",
        "gross": "40",
        "charge": "at_cost",
        "shoot": line.option.estimate.shoot_id,
        "estimate_line": line.pk,
        "version": "1",
        **also,
    }


@pytest.mark.parametrize(("is_disbursement", "charge"), [(False, "disbursement"), (True, "at_cost")])
def test_money_in_the_clients_name_and_taxed_costs_do_not_share_a_line(is_disbursement, charge):
    line = capped_line(is_disbursement=is_disbursement)
    assert list(ExpenseForm(typed_under(line, charge=charge)).errors) == ["estimate_line"]
    assert ExpenseForm(typed_under(line, charge="disbursement" if is_disbursement else "at_cost")).is_valid()


def test_a_cost_is_in_the_currency_of_the_books_on_its_day_unless_another_is_chosen():
    BusinessProfileFactory(currency="EUR")
    BusinessProfileFactory(valid_from=date(2026, 11, 10), currency="GBP")
    typed = {"what": "Plates", "kind": "props", "gross": "40", "charge": "not", "version": "1"}
    for day, chosen, currency in (
        ("2026-11-09", "", "EUR"),
        ("2026-11-13", "", "GBP"),
        ("2026-11-13", "CHF", "CHF"),
    ):
        form = ExpenseForm(typed | {"spent_on": day, "currency": chosen})
        assert form.is_valid()
        assert form.what_was_typed()["currency"] == currency
        assert form.save(commit=False).currency == currency


def test_a_cost_under_a_line_is_in_the_currency_agreed():
    line = capped_line()
    assert list(ExpenseForm(typed_under(line, currency="CHF")).errors) == ["currency"]


def test_a_journey_charged_on_needs_a_shoot_and_a_rate():
    MileageRateFactory()
    typed = {"travelled_on": "2026-11-14", "from_place": "A", "to_place": "B", "distance": "0", "charge": "at_cost"}
    assert {"distance", "shoot", "charge_rate"} <= set(JourneyForm(typed).errors)


def test_small_forms_ask_for_their_one_thing():
    assert AskForMoreForm({"amount_net": "72,40", "why": "Figs"}).is_valid()
    assert "name" in AnswerForm({"name": ""}).errors
    assert ExpenseFilter({"text": "figs", "charge": "at_cost"}).is_valid()


def test_a_cost_of_a_day_still_to_come_is_refused():
    typed = {"what": "Flour", "kind": "groceries", "spent_on": "2031-01-01", "gross": "12", "charge": "not"}
    form = ExpenseForm(typed)
    assert form.errors["spent_on"] == ["This day is still to come. Enter the day on the receipt."]


def test_of_many_shoots_the_latest_are_listed_and_any_other_is_taken(monkeypatch):
    """A studio of some years has thousands: its page said all of them, 191 times as long as an empty one."""
    monkeypatch.setattr("shared.words.forms.MOST_TO_CHOOSE", 2)
    old, *latest = [ShootFactory(title=f"Shoot {day}", first_on=date(2026, 1, day)) for day in (1, 2, 3)]
    for form in (ExpenseForm, JourneyForm):
        plain = form()["shoot"]
        assert [key for key, _ in plain.field.widget.choices] == ["", latest[1].pk, latest[0].pk]
        assert AN_OLDER_SHOOT in plain.help_text
        of_its_page = form(initial={"shoot": old})["shoot"]
        assert [key for key, _ in of_its_page.field.widget.choices] == ["", latest[1].pk, latest[0].pk, old.pk]
        posted = form({"shoot": str(old.pk)})
        posted.is_valid()
        assert posted.cleaned_data["shoot"] == old
        wrong = form({"shoot": "9" * 30})
        assert "shoot" in wrong.errors
    old.delete()
    assert AN_OLDER_SHOOT not in ExpenseForm()["shoot"].help_text
