"""Cost of doing business. Source: npac.ca, "Cost of Doing Business Calculator" (page read): (annual overhead + salary) ÷ billable days.

Overhead excludes wages and anything billed to the client. The figures are our own, recomputed by script.
"""

from datetime import date
from decimal import Decimal as D

from billing.costs.cost_of_business import YearOfWork, break_even_day
from billing.costs.living import Cost, CostKind, Days, reckon_year, shootable_days, weekend_days


def test_overhead_25000_and_pay_58000_over_100_days() -> None:
    assert break_even_day(YearOfWork(D(25000), D(58000), D(100))) == D("830.00")


def test_a_published_year_of_days_and_a_piece_of_kit() -> None:
    """Source: rajeshtaylor.com, field notes, "The Cost of Doing Business", 9 May 2015 (stored page read): 365 − 104 weekend days − 20 of
    leave − 8 public holidays = 233 days; kit of 2,000 used for 4 years is 500 a year; bills of 30 a month are 360 a year.
    """
    days = Days(weekends=D(104), holidays=D(8), leave=D(20))
    assert shootable_days(2015, days) == 233
    assert weekend_days(2015) == 104
    kit = Cost(CostKind.KIT, "Computer", D(2000), 4, date(2014, 1, 15))
    lines = reckon_year(2015, [kit, Cost(CostKind.SOFTWARE, "Internet", D(30) * 12)], days, income=D(0)).lines
    assert [line.sum for line in lines[:2]] == [D(500), D(360)]
