from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.db.models import QuerySet

from billing.costs.living import Cost, CostKind, Days, Living, reckon_year, weekend_days
from billing.costs.models import CostLine, CostYear
from billing.rates.queries import rates_in_force

FIRST_YEAR, LAST_YEAR = 1990, 2200


@dataclass(frozen=True, slots=True)
class LivingRate:
    """What a day, half day and hour must bring in to live on, before VAT, by the costs entered for ``year``."""

    year: int
    currency: str
    day: Decimal
    half_day: Decimal
    hour: Decimal
    hours_in_day: Decimal


def cost_years() -> QuerySet[CostYear]:
    """All years entered with their lines, the newest first: two queries."""
    return CostYear.objects.order_by("-year").prefetch_related("lines")


def cost_year_of(year: int) -> CostYear | None:
    """The costs entered for a year."""
    return cost_years().filter(year=year).first()


def living_rate(day: date) -> LivingRate | None:
    """The rate to live on of a day: by its year's costs, else the newest earlier year's; None while there is none. Two queries."""
    row = cost_years().filter(year__lte=day.year).first()
    if row is None:
        return None
    living = living_of(row)
    return LivingRate(row.year, row.currency, living.day, living.half_day, living.hour, row.hours_in_day)


def living_of(row: CostYear) -> Living:
    """A year reckoned from its rows."""
    return reckon_year(
        row.year,
        costs_of(row.lines.all()),
        days_off(row),
        income=row.income,
        tax_percent=row.tax_percent,
        profit_percent=row.profit_percent,
        half_day_percent=row.half_day_percent,
        hours_in_day=row.hours_in_day,
    )


def costs_of(lines: Iterable[CostLine]) -> list[Cost]:
    """Rows as the values that are reckoned with."""
    return [Cost(CostKind(each.kind), each.what, each.price, each.years, each.bought_on) for each in lines]


def days_off(row: CostYear) -> Days:
    return Days(row.weekends, row.holidays, row.leave, row.sick, row.unpaid, row.days_typed)


def start_of_year(year: int) -> tuple[CostYear, list[Cost], int | None]:
    """What a new year's page begins with, not saved (version 0): the year before with its lines and which one it was, or an empty year."""
    before = cost_years().filter(year__lt=year).first()
    if before is None:
        card = rates_in_force(date(year, 12, 31))
        row = CostYear(
            year=year, currency=card.currency, hours_in_day=card.hours_in_day, weekends=weekend_days(year), version=0
        )
        return row, [], None
    names = ("currency", "income", "tax_percent", "profit_percent", "holidays", "leave", "sick", "unpaid")
    kept = {name: getattr(before, name) for name in (*names, "half_day_percent", "hours_in_day")}
    return (
        CostYear(year=year, weekends=weekend_days(year), version=0, **kept),
        costs_of(before.lines.all()),
        before.year,
    )
