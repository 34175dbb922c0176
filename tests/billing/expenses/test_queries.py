from datetime import date
from decimal import Decimal

import pytest

from billing.expenses.actions import answer_for_more, ask_for_more
from billing.expenses.queries import (
    agreed_for,
    caps_of,
    costs_of,
    currency_on,
    expense_month_totals,
    expenses_listed,
    journeys_listed,
    lines_at_cost,
    mileage_rows,
    net_charged,
    raises_of,
    usual_journey,
    with_currency,
)
from tests.factories.expenses import AT, ExpenseFactory, JourneyFactory, MileageRateFactory, capped_line
from tests.factories.shared import BusinessProfileFactory

pytestmark = pytest.mark.django_db


def test_costs_are_found_by_word_charge_and_month():
    fig, nut = ExpenseFactory(what="Figs"), ExpenseFactory(what="Nuts", charge="not", spent_on=date(2026, 10, 31))
    assert list(expenses_listed(text="figs")) == [fig]
    assert list(expenses_listed(charge="not")) == [nut]
    assert list(expenses_listed(month=date(2026, 11, 1))) == [fig]
    assert expense_month_totals(date(2026, 11, 9)) == {"EUR": Decimal("72.00")}


def test_the_first_of_the_next_month_is_no_day_of_this_one():
    ExpenseFactory(spent_on=date(2026, 12, 1))
    JourneyFactory(travelled_on=date(2026, 12, 1))
    assert not expenses_listed(month=date(2026, 11, 9))
    assert not journeys_listed(month=date(2026, 11, 9))
    assert expense_month_totals(date(2026, 11, 9)) == {}
    assert expenses_listed(month=date(2026, 12, 31)).count() == journeys_listed(month=date(2026, 12, 31)).count() == 1


def test_costs_in_two_currencies_are_never_added():
    line = capped_line()
    shoot = line.option.estimate.shoot
    ExpenseFactory(shoot=shoot, estimate_line=line)
    ExpenseFactory(shoot=shoot, estimate_line=line, currency="CHF")
    JourneyFactory(shoot=shoot)
    assert expense_month_totals(date(2026, 11, 9)) == {"CHF": Decimal("72.00"), "EUR": Decimal("72.00")}
    assert costs_of(shoot)["net"] == {"CHF": Decimal("72.00"), "EUR": Decimal("85.80")}
    assert caps_of(shoot)[0]["capped"].actual == Decimal("72.00")


def test_a_journey_counts_in_the_currency_of_the_books_on_its_day():
    BusinessProfileFactory(currency="EUR")
    BusinessProfileFactory(valid_from=date(2026, 11, 10), currency="CHF")
    early, late = JourneyFactory(travelled_on=date(2026, 11, 9)), JourneyFactory(travelled_on=date(2026, 11, 10))
    assert with_currency([early, late]) == [(early, "EUR"), (late, "CHF")]
    assert currency_on(date(2026, 11, 10)) == "CHF"


def test_a_line_at_most_is_offered_for_costs():
    line = capped_line()
    assert list(lines_at_cost(line.option.estimate.shoot)) == [line]


@pytest.mark.parametrize(("reclaims", "net"), [(True, Decimal("72.00")), (False, Decimal("85.68"))])
def test_a_studio_that_cannot_reclaim_vat_passes_on_the_gross(reclaims, net):
    BusinessProfileFactory(reclaims_tax=reclaims)
    assert net_charged(ExpenseFactory()) == net


def test_a_cap_counts_only_what_is_under_its_line():
    line = capped_line("60.00")
    shoot = line.option.estimate.shoot
    ExpenseFactory(shoot=shoot, estimate_line=line)
    ExpenseFactory(shoot=shoot)
    [cap] = caps_of(shoot)
    assert (cap["capped"].actual, cap["capped"].excess) == (Decimal("72.00"), Decimal("12.00"))
    assert raises_of(line) == []
    assert costs_of(shoot)["net"] == {"EUR": Decimal("144.00")}


def test_a_cap_holds_the_mark_up_of_its_line():
    line = capped_line("100.00", markup_percent=Decimal(20))
    ExpenseFactory(shoot=line.option.estimate.shoot, estimate_line=line, gross=Decimal(115), tax=Decimal(0))
    [cap] = caps_of(line.option.estimate.shoot)
    assert (cap["capped"].cap, cap["capped"].billed) == (Decimal("120.00"), Decimal("115.00"))


def test_what_was_agreed_before_a_question_leaves_its_own_answer_out():
    line = capped_line("60.00", markup_percent=Decimal(10))
    first = ask_for_more(line, amount_net=Decimal(70), why="Figs", at=AT)
    assert agreed_for(first.line, apart_from=first) == Decimal("66.00")
    answer_for_more(first, is_agreed=True, name="Maro Lantadze", at=AT)
    assert agreed_for(first.line, apart_from=first) == Decimal("66.00")
    asked = ask_for_more(line, amount_net=Decimal(80), why="More figs", at=AT)
    assert agreed_for(asked.line, apart_from=asked) == Decimal("70.00")


def test_the_way_to_a_kitchen_is_proposed_there_and_back():
    line = capped_line()
    shoot = line.option.estimate.shoot
    shoot.kitchen.distance_km = Decimal(23)
    shoot.kitchen.save()
    MileageRateFactory()
    assert usual_journey(str(shoot.pk), AT)["distance"] == 46
    assert usual_journey("", AT)["rate_name"] == "Car"
    assert mileage_rows("Car")[0].rate == Decimal("0.3")
