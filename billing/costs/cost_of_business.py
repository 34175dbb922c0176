"""What a billable day must bring in: the cost of doing business. A floor to stand on, not a price.

(Overhead + pay) ÷ billable days. Overhead leaves out wages and everything billed to clients; a billable day is one worked for a
paying client. Source: Canadian news photographers' association, npac.ca, "Cost of Doing Business Calculator".
"""

from dataclasses import dataclass
from decimal import Decimal

from shared.money import round_money

LONGEST_YEAR = 366


class InvalidYear(ValueError):
    """A year of work that cannot be: no billable day, more days than a year has, or a negative cost."""


@dataclass(frozen=True, slots=True)
class YearOfWork:
    """A year's figures: overhead, own pay before tax, and days billed to clients."""

    overhead: Decimal
    pay: Decimal
    billable_days: Decimal

    def __post_init__(self) -> None:
        if not 0 < self.billable_days <= LONGEST_YEAR:
            raise InvalidYear("Enter how many days a year you work for paying clients, for example 100.")
        if self.overhead < 0 or self.pay < 0:
            raise InvalidYear("Enter costs and pay of 0 or more.")


def break_even_day(year: YearOfWork) -> Decimal:
    """What a billable day must bring in before any profit: 25,000 + 58,000 over 100 days is 830.00."""
    return round_money((year.overhead + year.pay) / year.billable_days)


def days_to_break_even(year: YearOfWork, day_rate: Decimal) -> Decimal:
    """How many days at ``day_rate`` carry the year's costs, to two decimals."""
    if day_rate <= 0:
        raise InvalidYear("Enter a day rate above 0, for example 780.")
    return round_money((year.overhead + year.pay) / day_rate)
