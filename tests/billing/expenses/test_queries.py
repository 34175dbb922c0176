from datetime import date
from decimal import Decimal

import pytest

from billing.expenses.queries import (
    caps_of,
    costs_of,
    distance_before,
    expense_month_total,
    expenses_listed,
    expenses_to_charge,
    journeys_listed,
    journeys_to_charge,
    lines_at_cost,
    mileage_rows,
    net_charged,
    raises_of,
    usual_journey,
)
from tests.factories.expenses import AT, ExpenseFactory, JourneyFactory, MileageRateFactory, capped_line
from tests.factories.shared import BusinessProfileFactory

pytestmark = pytest.mark.django_db


def test_costs_are_found_by_word_charge_and_month():
    fig, nut = ExpenseFactory(what="Figs"), ExpenseFactory(what="Nuts", charge="not", spent_on=date(2026, 10, 31))
    assert list(expenses_listed(text="figs")) == [fig]
    assert list(expenses_listed(charge="not")) == [nut]
    assert list(expenses_listed(month=date(2026, 11, 1))) == [fig]
    assert expense_month_total(date(2026, 11, 9)) == Decimal("72.00")


def test_only_unbilled_costs_the_client_pays_are_to_charge():
    line = capped_line()
    shoot = line.option.estimate.shoot
    open_cost = ExpenseFactory(shoot=shoot)
    ExpenseFactory(shoot=shoot, billed_on="2026-001")
    ExpenseFactory(shoot=shoot, charge="not")
    way = JourneyFactory(shoot=shoot, charge="at_cost")
    JourneyFactory(shoot=shoot)
    assert list(expenses_to_charge(shoot)) == [open_cost]
    assert list(journeys_to_charge(shoot)) == [way]
    assert journeys_listed().count() == 2
    assert list(lines_at_cost(shoot)) == [line]


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
    assert costs_of(shoot)["net"] == Decimal("144.00")


def test_the_way_to_a_kitchen_is_proposed_there_and_back():
    line = capped_line()
    shoot = line.option.estimate.shoot
    shoot.kitchen.distance_km = Decimal(23)
    shoot.kitchen.save()
    MileageRateFactory()
    assert usual_journey(str(shoot.pk), AT)["distance"] == 46
    assert usual_journey("", AT)["rate_name"] == "Car"
    assert mileage_rows("Car")[0].rate == Decimal("0.3")


def test_the_band_counts_the_distance_of_the_year_so_far():
    JourneyFactory(rate_name="Car", distance=Decimal(100))
    assert distance_before("Car", since=date(2026, 1, 1), on=date(2026, 12, 31)) == 100
    assert distance_before("Car", since=date(2026, 12, 1), on=date(2026, 12, 31)) == 0
