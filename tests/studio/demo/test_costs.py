from datetime import date
from decimal import Decimal as D

from billing.costs.living import CostKind, Days, reckon_year
from studio.demo.costs import costs_of_year, year_values

SINCE = date(2025, 1, 1)


def test_her_day_rate_carries_her_years():
    """She takes 780 a day: a demo whose rates could not be lived on would tell the wrong story."""
    for year in (2025, 2026):
        values = year_values(year, since=SINCE)
        days = Days(*(values[name] for name in ("weekends", "holidays", "leave", "sick", "unpaid", "days_typed")))
        living = reckon_year(
            year,
            costs_of_year(year, since=SINCE),
            days,
            income=values["income"],
            tax_percent=values["tax_percent"],
        )
        assert D(600) < living.day < D(780)


def test_kit_was_bought_in_the_first_year():
    kit = [each for each in costs_of_year(2026, since=SINCE) if each.kind == CostKind.KIT]
    assert {each.bought_on.year for each in kit} == {2025}
