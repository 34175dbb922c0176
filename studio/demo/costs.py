"""What Tindra's years cost: invented figures."""

from datetime import date
from decimal import Decimal
from typing import Any

from billing.costs.living import Cost, CostKind, weekend_days

YEARLY = (
    (CostKind.INSURANCE, "Liability and kit insurance", 1450),
    (CostKind.SOFTWARE, "Picture editing and storage", 720),
    (CostKind.RENT, "Share of a studio kitchen", 4800),
    (CostKind.CAR, "Car, the part for work", 3600),
    (CostKind.PENSION, "Pension", 4200),
    (CostKind.OTHER, "Training and books", 600),
)


def costs_of_year(year: int, *, since: date) -> list[Cost]:
    """The lines of a year; kit was bought in the first year of the books."""
    kit = (("Camera and lenses", 6000, 4, 7), ("Computer and screen", 2400, 3, 2), ("Lamps and stands", 1800, 5, 10))
    bought = [
        Cost(CostKind.KIT, what, Decimal(price), years, date(since.year, month, 1)) for what, price, years, month in kit
    ]
    dearer = 1 if year == since.year else Decimal("1.02")
    return [*bought, *(Cost(kind, what, Decimal(price) * dearer) for kind, what, price in YEARLY)]


def year_values(year: int, *, since: date) -> dict[str, Any]:
    """What she wants to take home, and her days."""
    return {
        "currency": "EUR", "income": Decimal(35000 if year == since.year else 36000), "tax_percent": Decimal(30), "profit_percent": Decimal(0),
        "weekends": Decimal(weekend_days(year)), "holidays": Decimal(9), "leave": Decimal(25), "sick": Decimal(5), "unpaid": Decimal(130),
        "days_typed": None, "half_day_percent": Decimal(60), "hours_in_day": Decimal(8),
    }  # fmt: skip
