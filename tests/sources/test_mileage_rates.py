"""Mileage allowances, recomputed by script from rates read on secondary pages.

HMRC approved mileage allowance payments, car: from 2011 (from memory) until 5 April 2026 45p to 10,000 miles in a tax year, then 25p; from 6 April 2026 55p,
then 25p (mooreks.co.uk; communityvision.org.uk). IRS business rate: 72.5 cents from 1 January 2026 (Notice 2026-10, on
currentfederaltaxdevelopments.com); 76 cents from 1 July 2026 is UNCONFIRMED: no page was found, check before use.
"""

from datetime import date
from decimal import Decimal as D

from billing.rates.mileage import BRITISH_TAX_YEAR, Leg, MileageRow, allowances

HMRC_CAR = [
    MileageRow(date(2011, 4, 6), D("0.45"), D(10000), D("0.25")),
    MileageRow(date(2026, 4, 6), D("0.55"), D(10000), D("0.25")),
]
IRS_BUSINESS = [MileageRow(date(2026, 1, 1), D("0.725")), MileageRow(date(2026, 7, 1), D("0.76"))]


def test_11000_miles_in_2025_26() -> None:
    assert allowances([Leg(date(2025, 9, 1), D(11000))], HMRC_CAR, BRITISH_TAX_YEAR) == (D("4750.00"),)


def test_4000_and_9000_miles_in_2026_27() -> None:
    assert sum(
        allowances([Leg(date(2026, 5, 1), D(4000)), Leg(date(2026, 9, 1), D(9000))], HMRC_CAR, BRITISH_TAX_YEAR)
    ) == D("6250.00")


def test_american_miles_in_may_and_september_2026() -> None:
    """Rests on the unconfirmed 76 cents."""
    assert sum(allowances([Leg(date(2026, 5, 4), D(1800)), Leg(date(2026, 9, 4), D(2400))], IRS_BUSINESS)) == D(
        "3129.00"
    )
