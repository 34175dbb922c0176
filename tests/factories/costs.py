"""A year's costs, saved by the house's own action."""

from datetime import UTC, date, datetime
from decimal import Decimal as D
from typing import Any

from billing.costs.actions import YEAR_FIELDS, save_cost_year
from billing.costs.living import Cost, CostKind
from billing.costs.models import CostYear
from billing.costs.queries import start_of_year

AT = datetime(2026, 11, 26, 9, 0, tzinfo=UTC)
COSTS = (
    Cost(CostKind.KIT, "Camera and lenses", D(6000), 4, date(2026, 7, 1)),
    Cost(CostKind.RENT, "Studio share", D(24250)),
)


def cost_year(year: int = 2026, costs: Any = COSTS, **also: Any) -> CostYear:
    """Costs of 25,000 in 2026 and 58,000 to live on over 100 days: 830 a day."""
    start = start_of_year(year)[0]
    values = {name: getattr(start, name) for name in YEAR_FIELDS} | {"income": D(58000), "days_typed": D(100)} | also
    return save_cost_year(values, costs, year=year, by="Tindra Aldermoor", at=AT)
