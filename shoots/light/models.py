from django.db import models
from django.db.models import F, Q

from shared.edits import Edited
from shoots.brief.models import Shoot
from shoots.light.setting import DAYLIGHT, LAMP, OVERCAST


class LightPlan(Edited):
    """The set-up the light of a shoot is reckoned from: which window, heights in centimetres, table, lamp and cook.

    The window is named by its bearing, because a kitchen's windows are written anew when it is edited. ``head_cm`` is left out where the
    window's own height says it. Hours are of a clock round the table, 12 at the window wall.
    """

    class Kind(models.TextChoices):
        DAYLIGHT = DAYLIGHT, "Daylight"
        OVERCAST = OVERCAST, "Overcast"
        LAMP = LAMP, "Lamp"

    shoot = models.OneToOneField(Shoot, on_delete=models.CASCADE, related_name="light_plan")
    kind = models.CharField(max_length=8, choices=Kind, default=Kind.DAYLIGHT)
    window_bearing = models.PositiveSmallIntegerField(null=True, blank=True)
    sill_cm = models.PositiveSmallIntegerField(default=90)
    head_cm = models.PositiveSmallIntegerField(null=True, blank=True)
    overhang_depth_cm = models.PositiveSmallIntegerField(default=0)
    overhang_above_cm = models.PositiveSmallIntegerField(default=0)
    building_degrees = models.PositiveSmallIntegerField(default=0)
    table_cm = models.PositiveSmallIntegerField(default=90)
    table_distance_cm = models.PositiveSmallIntegerField(default=60)
    table_depth_cm = models.PositiveSmallIntegerField(default=80)
    table_width_cm = models.PositiveSmallIntegerField(default=140)
    table_aside_cm = models.SmallIntegerField(default=0)
    ceiling_cm = models.PositiveSmallIntegerField(default=240)
    lamp_hour = models.PositiveSmallIntegerField(default=10)
    cook_hour = models.PositiveSmallIntegerField(default=3)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(lamp_hour__range=(1, 12), cook_hour__range=(1, 12)), name="light_hours_of_a_clock"
            ),
            models.CheckConstraint(
                condition=Q(head_cm__isnull=True) | Q(head_cm__gt=F("sill_cm")), name="window_head_above_sill"
            ),
            models.CheckConstraint(condition=Q(building_degrees__lte=90), name="building_at_most_90_degrees"),
        ]

    def __str__(self) -> str:
        return f"Light of {self.shoot}"
