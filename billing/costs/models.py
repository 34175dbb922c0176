from django.db import models
from django.db.models import Q

from billing.costs.living import CostKind
from shared.edits import Edited

KIND_WORDS = {
    CostKind.KIT: "Kit",
    CostKind.INSURANCE: "Insurance",
    CostKind.SOFTWARE: "Software",
    CostKind.RENT: "Rent",
    CostKind.CAR: "Car",
    CostKind.PENSION: "Pension",
    CostKind.OTHER: "Something else",
}


class CostYear(Edited):
    """A year's cost of doing business as the photographer entered it; every saving is in the evidence."""

    year = models.PositiveSmallIntegerField(unique=True)
    currency = models.CharField(max_length=3, default="EUR")
    income = models.DecimalField(max_digits=12, decimal_places=2, default=0)
    tax_percent = models.DecimalField(max_digits=5, decimal_places=2, default=0)
    profit_percent = models.DecimalField(max_digits=5, decimal_places=2, default=0)
    weekends = models.DecimalField(max_digits=4, decimal_places=1)
    holidays = models.DecimalField(max_digits=4, decimal_places=1, default=0)
    leave = models.DecimalField(max_digits=4, decimal_places=1, default=0)
    sick = models.DecimalField(max_digits=4, decimal_places=1, default=0)
    unpaid = models.DecimalField(max_digits=4, decimal_places=1, default=0)
    days_typed = models.DecimalField(max_digits=4, decimal_places=1, null=True, blank=True)
    half_day_percent = models.DecimalField(max_digits=5, decimal_places=2, default=60)
    hours_in_day = models.DecimalField(max_digits=4, decimal_places=1, default=8)

    class Meta:
        ordering = ["year"]
        constraints = [
            models.CheckConstraint(
                condition=Q(income__gte=0, tax_percent__gte=0, profit_percent__gte=0),
                name="cost_year_has_no_negative_figure",
            ),
            models.CheckConstraint(
                condition=Q(days_typed__isnull=True) | Q(days_typed__gt=0), name="cost_year_has_days_for_clients"
            ),
        ]

    def __str__(self) -> str:
        return f"Costs of {self.year}"


class CostLine(models.Model):
    """One yearly cost; of kit the price, the years it is spread over and the day it was bought."""

    cost_year = models.ForeignKey(CostYear, on_delete=models.CASCADE, related_name="lines")
    order = models.PositiveSmallIntegerField()
    kind = models.CharField(max_length=9, choices=[(str(kind), words) for kind, words in KIND_WORDS.items()])
    what = models.CharField(max_length=80)
    price = models.DecimalField(max_digits=12, decimal_places=2)
    years = models.PositiveSmallIntegerField(default=1)
    bought_on = models.DateField(null=True, blank=True)

    class Meta:
        ordering = ["order"]
        constraints = [
            models.UniqueConstraint(fields=["cost_year", "order"], name="cost_line_order_once"),
            models.CheckConstraint(condition=Q(price__gte=0, years__gte=1), name="cost_line_has_price_and_years"),
            models.CheckConstraint(condition=~Q(kind="kit") | Q(bought_on__isnull=False), name="kit_has_its_day"),
        ]

    def __str__(self) -> str:
        return self.what
