"""How many days a line of an estimate stands for. A half day is half a day, hours are parts of a day: common practice, no source."""

from decimal import Decimal
from fractions import Fraction

from billing.estimates.pricing import LineKind


def days_of_line(kind: str, quantity: Decimal, unit: str, hours_in_day: Decimal) -> Fraction:
    """The days of ``quantity`` × ``unit``; without a unit a day or half day on set counts as what its kind says, anything else as none.

    ``hours_in_day`` > 0.
    """
    if unit == "hour":
        return Fraction(quantity) / Fraction(hours_in_day)
    if unit == "half_day" or (not unit and kind == LineKind.HALF_DAY):
        return Fraction(quantity) / 2
    return Fraction(quantity) if unit == "day" or (not unit and kind == LineKind.SHOOTING_DAY) else Fraction(0)
