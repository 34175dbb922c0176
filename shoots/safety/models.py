from django.db import models
from django.db.models import Q

from shoots.brief.models import Dish, Shoot


class SafetyTick(models.Model):
    """A line of a list before the first frame, ticked by name. A tick taken back stays, with the moment and who did it.

    ``light`` counts the lights of the day for the list of the first frame; it is 0 on the list of the rig, which is ticked once.
    ``is_here`` is False where the line speaks of something that is not on this set.
    """

    shoot = models.ForeignKey(Shoot, on_delete=models.CASCADE, related_name="safety_ticks")
    item = models.CharField(max_length=20)
    light = models.PositiveSmallIntegerField(default=0)
    is_here = models.BooleanField(default=True)
    name = models.CharField(max_length=120)
    at = models.DateTimeField()
    taken_back_at = models.DateTimeField(null=True, blank=True)
    taken_back_by = models.CharField(max_length=150, blank=True)

    class Meta:
        ordering = ["at", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["shoot", "item", "light"],
                condition=Q(taken_back_at__isnull=True),
                name="ticked_once_at_a_light",
            )
        ]

    def __str__(self) -> str:
        return f"{self.item}: {self.name}"


class FoodOut(models.Model):
    """When food of a dish left the fridge or the heat on the day; a second portion is a later row, and the latest counts."""

    dish = models.ForeignKey(Dish, on_delete=models.CASCADE, related_name="food_out")
    at = models.DateTimeField()
    by = models.CharField(max_length=150, blank=True)

    class Meta:
        ordering = ["at", "pk"]

    def __str__(self) -> str:
        return f"{self.dish}: {self.at:%H:%M}"
