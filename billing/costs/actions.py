from collections.abc import Mapping, Sequence
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from django.db import IntegrityError, transaction

from billing.costs.living import Cost, rounded_up
from billing.costs.models import CostLine, CostYear
from billing.costs.queries import living_of
from billing.rates.actions import set_rates
from billing.rates.models import RATE_FIELDS, RateCard
from billing.rates.queries import rates_in_force
from shared.edits import save_edit
from shared.errors import Refusal
from shared.evidence.actions import record_evidence

YEAR_FIELDS = (
    "currency", "income", "tax_percent", "profit_percent", "weekends", "holidays", "leave", "sick", "unpaid", "days_typed",
    "half_day_percent", "hours_in_day",
)  # fmt: skip


class YearEnteredAlready(Refusal):
    """Somebody else entered this year's costs after the page was opened."""

    def __init__(self, year: int) -> None:
        super().__init__(
            f"The costs of {year} were entered meanwhile.",
            "What you typed is kept below and is not saved yet.",
            "Open the page in a second tab to compare, then correct the year there.",
        )


class OtherCurrency(Refusal):
    """The rate card counts in another currency than the year's costs."""

    def __init__(self, costs: str, rates: str) -> None:
        super().__init__(
            f"The costs are in {costs}, your rates in {rates}.",
            "Your rates are as they were.",
            "Enter the costs in the currency of your rates.",
        )


@transaction.atomic
def save_cost_year(
    values: Mapping[str, Any],
    costs: Sequence[Cost],
    *,
    year: int,
    row: CostYear | None = None,
    version: int = 0,
    by: str,
    at: datetime,
) -> CostYear:
    """Saves a year: a new one, or ``row`` as opened at ``version``; its lines are replaced, what they were is in the evidence.

    Raises ``YearEnteredAlready``, ``EditedMeanwhile``; ``InvalidYear`` for a year that cannot be.
    """
    fields = {name: values[name] for name in YEAR_FIELDS}
    if row is None:
        try:
            with transaction.atomic():
                row = CostYear.objects.create(year=year, **fields)
        except IntegrityError as twice:
            raise YearEnteredAlready(year) from twice
    else:
        for name, value in fields.items():
            setattr(row, name, value)
        row = save_edit(row, YEAR_FIELDS, version=version)
    row.lines.all().delete()
    CostLine.objects.bulk_create(
        CostLine(
            cost_year=row,
            order=order,
            kind=each.kind,
            what=each.what,
            price=each.price,
            years=each.years,
            bought_on=each.bought_on,
        )
        for order, each in enumerate(costs)
    )
    row = CostYear.objects.prefetch_related("lines").get(pk=row.pk)
    living = living_of(row)
    payload = {name: str(getattr(row, name)) for name in YEAR_FIELDS}
    payload |= {"by": by, "day": str(living.day), "total": str(living.total)}
    lines = [
        {"kind": each.kind, "what": each.what, "price": str(each.price), "years": each.years, "bought_on": str(each.bought_on or "")}
        for each in row.lines.all()
    ]  # fmt: skip
    record_evidence("costs.saved", subject=f"cost_year:{row.year}", payload=payload | {"lines": lines}, at=at)
    return row


@transaction.atomic
def take_as_rates(row: CostYear, *, valid_from: date, step: Decimal) -> RateCard:
    """New rates from a day on with the year's day and half day, each up to the next multiple of ``step``; everything else stays.

    Raises ``OtherCurrency``, ``RatesFromThatDay``.
    """
    living = living_of(row)
    card = rates_in_force(valid_from)
    if card.currency != row.currency:
        raise OtherCurrency(row.currency, card.currency)
    values = {name: getattr(card, name) for name in RATE_FIELDS} | {"valid_from": valid_from}
    values |= {"day_rate": rounded_up(living.day, step), "half_day_rate": rounded_up(living.half_day, step)}
    return set_rates(values)
