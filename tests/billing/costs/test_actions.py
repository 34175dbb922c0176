from datetime import date
from decimal import Decimal as D

import pytest

from billing.costs.actions import YEAR_FIELDS, OtherCurrency, YearEnteredAlready, save_cost_year, take_as_rates
from billing.costs.cost_of_business import InvalidYear
from billing.costs.living import Cost, CostKind
from billing.costs.models import CostYear
from billing.rates.actions import RatesFromThatDay
from billing.rates.models import RateCard
from shared.edits import EditedMeanwhile
from shared.evidence.models import Evidence
from tests.factories.billing import RateCardFactory
from tests.factories.costs import AT, COSTS, cost_year

pytestmark = pytest.mark.django_db


def values_of(row):
    return {name: getattr(row, name) for name in YEAR_FIELDS}


def test_saving_again_replaces_the_lines_and_the_evidence_keeps_both():
    row = cost_year()
    one = [Cost(CostKind.INSURANCE, "Liability", D(900))]
    save_cost_year(values_of(row) | {"income": D(40000)}, one, year=2026, row=row, version=1, by="Tindra", at=AT)
    assert [line.what for line in CostYear.objects.get().lines.all()] == ["Liability"]
    kept = [each.payload for each in Evidence.objects.filter(kind="costs.saved").order_by("seq")]
    assert [each["day"] for each in kept] == ["830.00", "409.00"]
    assert kept[0]["lines"][0] == {"kind": "kit", "what": "Camera and lenses", "price": "6000.00", "years": 4, "bought_on": "2026-07-01"}  # fmt: skip


def test_two_people_saving_at_once_the_second_is_told():
    row = cost_year()
    save_cost_year(values_of(row), COSTS, year=2026, row=row, version=1, by="Tindra", at=AT)
    with pytest.raises(EditedMeanwhile):
        save_cost_year(values_of(row), [], year=2026, row=CostYear.objects.get(), version=1, by="Tindra", at=AT)
    assert CostYear.objects.get().lines.count() == 2


def test_a_year_is_entered_once_and_a_wrong_one_leaves_nothing():
    cost_year()
    with pytest.raises(YearEnteredAlready):
        cost_year()
    with pytest.raises(InvalidYear):
        cost_year(2027, days_typed=D(366))
    assert [row.year for row in CostYear.objects.all()] == [2026]


def test_the_figure_becomes_the_day_rate_rounded_up_and_the_rest_stays():
    RateCardFactory()
    row = cost_year(income=D(58001))
    card = take_as_rates(row, valid_from=date(2027, 1, 1), step=D(5))
    assert (card.day_rate, card.half_day_rate) == (D(835), D(500))
    assert (card.finishing_rate, card.overtime_rate) == (60, 120)
    with pytest.raises(RatesFromThatDay):
        take_as_rates(row, valid_from=date(2027, 1, 1), step=D(5))
    assert RateCard.objects.count() == 2


def test_costs_in_another_currency_set_no_rate():
    RateCardFactory()
    with pytest.raises(OtherCurrency):
        take_as_rates(cost_year(currency="CHF"), valid_from=date(2027, 1, 1), step=D(0))
