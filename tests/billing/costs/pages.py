from datetime import date
from decimal import Decimal as D

from django.urls import reverse

from billing.costs.living import Cost, CostKind
from tests.factories.billing import RateCardFactory
from tests.factories.costs import cost_year
from tests.factories.shared import BusinessProfileFactory
from tests.house.pages import Page, Panel


def years(rows: int) -> str:
    BusinessProfileFactory()
    for row in range(rows):
        cost_year(2000 + 10 * rows + row)
    return reverse("cost_list")


def lines(name: str, rows: int) -> str:
    BusinessProfileFactory()
    RateCardFactory()
    kit = [Cost(CostKind.KIT, f"Lens {row}", D(900), 3, date(2026, row + 1, 1)) for row in range(rows)]
    cost_year(2026 + rows, [*kit, *(Cost(CostKind.OTHER, f"Course {row}", D(200)) for row in range(rows))])
    return reverse(name, args=[2026 + rows])


PAGES = {
    "cost_list": Page(years, lists=True),
    "cost_year": Page(lambda rows: lines("cost_year", rows), lists=True),
    "cost_sums": Panel(lambda rows: lines("cost_sums", rows)),
    "cost_rates": Page(lambda rows: lines("cost_rates", rows)),
}
