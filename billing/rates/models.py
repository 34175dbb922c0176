from django.db import models

from shared.edits import Edited


class RateCard(Edited):
    """The studio's rates and usual terms from a day on. ``usage`` holds the usage-fee card as data; empty means the shipped one."""

    valid_from = models.DateField(unique=True)
    currency = models.CharField(max_length=3, default="EUR")
    day_rate = models.DecimalField(max_digits=12, decimal_places=2, default=780)
    half_day_rate = models.DecimalField(max_digits=12, decimal_places=2, default=470)
    hours_in_day = models.DecimalField(max_digits=4, decimal_places=1, default=8)
    overtime_rate = models.DecimalField(max_digits=12, decimal_places=2, default=120)
    preparation_rate = models.DecimalField(max_digits=12, decimal_places=2, default=65)
    finishing_rate = models.DecimalField(max_digits=12, decimal_places=2, default=60)
    finishing_minutes = models.PositiveSmallIntegerField(default=25)
    cut_out_minutes = models.PositiveSmallIntegerField(default=40)
    composite_minutes = models.PositiveSmallIntegerField(default=90)
    assistant_rate = models.DecimalField(max_digits=12, decimal_places=2, default=190)
    stylist_rate = models.DecimalField(max_digits=12, decimal_places=2, default=420)
    operator_rate = models.DecimalField(max_digits=12, decimal_places=2, default=280)
    kit_rate = models.DecimalField(max_digits=12, decimal_places=2, default=0)
    preparation_day_rate = models.DecimalField(max_digits=12, decimal_places=2, default=0)
    studio_rate = models.DecimalField(max_digits=12, decimal_places=2, default=0)
    kitchen_rate = models.DecimalField(max_digits=12, decimal_places=2, default=240)
    props_rate = models.DecimalField(max_digits=12, decimal_places=2, default=90)
    hire_markup_percent = models.DecimalField(max_digits=5, decimal_places=2, default=10)
    is_hire_capped = models.BooleanField(default=False)
    food_rate = models.DecimalField(max_digits=12, decimal_places=2, default=15)
    food_markup_percent = models.DecimalField(max_digits=5, decimal_places=2, default=0)
    is_food_capped = models.BooleanField(default=True)
    travel_day_rate = models.DecimalField(max_digits=12, decimal_places=2, default=390)
    travel_day_km = models.PositiveSmallIntegerField(default=300)
    half_travel_day_rate = models.DecimalField(max_digits=12, decimal_places=2, default=195)
    half_travel_day_km = models.PositiveSmallIntegerField(default=150)
    rush_percent = models.DecimalField(
        max_digits=5, decimal_places=2, default=0
    )  # a surcharge is the studio’s own decision
    rush_days = models.PositiveSmallIntegerField(default=3)
    km_rate = models.DecimalField(max_digits=8, decimal_places=4, default="0.42")
    markup_percent = models.DecimalField(max_digits=5, decimal_places=2, default=0)
    deposit_percent = models.DecimalField(max_digits=5, decimal_places=2, default=40)
    deposit_days = models.PositiveSmallIntegerField(default=7)
    tolerance_percent = models.DecimalField(max_digits=5, decimal_places=2, default=10)
    validity_days = models.PositiveSmallIntegerField(default=14)
    rounds_included = models.PositiveSmallIntegerField(default=1)
    cancellation_free_days = models.PositiveSmallIntegerField(default=5)
    cancellation_percent = models.DecimalField(max_digits=5, decimal_places=2, default=50)
    cancellation_day_percent = models.DecimalField(max_digits=5, decimal_places=2, default=100)
    lapse_days = models.PositiveSmallIntegerField(default=30)
    usage = models.JSONField(default=dict, blank=True)

    class Meta:
        ordering = ["valid_from"]

    def __str__(self) -> str:
        return f"Rates from {self.valid_from}"


RATE_FIELDS = (
    "valid_from", "currency", "day_rate", "half_day_rate", "hours_in_day", "overtime_rate", "preparation_rate", "finishing_rate",
    "finishing_minutes", "cut_out_minutes", "composite_minutes", "assistant_rate", "stylist_rate", "operator_rate", "kit_rate", "km_rate", "markup_percent", "preparation_day_rate", "studio_rate",
    "kitchen_rate", "props_rate", "hire_markup_percent", "is_hire_capped", "food_rate", "food_markup_percent", "is_food_capped", "travel_day_rate",
    "travel_day_km", "half_travel_day_rate", "half_travel_day_km", "rush_percent", "rush_days", "deposit_percent", "deposit_days",
    "tolerance_percent", "validity_days", "rounds_included", "cancellation_free_days", "cancellation_percent", "cancellation_day_percent",
    "lapse_days",
)  # fmt: skip
"""What a rate card holds beside its usage fees, in the order it is read."""


class MileageRate(models.Model):
    """What a kilometre or mile of own travel counts for in the books, by date, with a lower rate past a yearly distance."""

    name = models.CharField(max_length=60)
    valid_from = models.DateField()
    unit = models.CharField(max_length=2, choices=[("km", "kilometre"), ("mi", "mile")], default="km")
    rate = models.DecimalField(max_digits=8, decimal_places=4)
    threshold = models.PositiveIntegerField(null=True, blank=True)
    rate_above = models.DecimalField(max_digits=8, decimal_places=4, null=True, blank=True)
    source = models.CharField(max_length=160, blank=True)

    class Meta:
        ordering = ["name", "valid_from"]
        constraints = [models.UniqueConstraint(fields=["name", "valid_from"], name="mileage_rate_once_a_day")]

    def __str__(self) -> str:
        return f"{self.name} from {self.valid_from}"
