"""Cost of doing business. Source: npac.ca, "Cost of Doing Business Calculator" (page read): (annual overhead + salary) ÷ billable days.

Overhead excludes wages and anything billed to the client. The figures are our own, recomputed by script.
"""

from decimal import Decimal as D

from billing.rates.cost_of_business import YearOfWork, break_even_day


def test_overhead_25000_and_pay_58000_over_100_days() -> None:
    assert break_even_day(YearOfWork(D(25000), D(58000), D(100))) == D("830.00")
