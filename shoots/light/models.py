from django.db import models
from django.db.models import F, Q

from clients.models import Kitchen
from shared.edits import Edited
from shoots.brief.models import Shoot
from shoots.light.setting import DAYLIGHT, LAMP, OVERCAST


class WindowMeasures(models.Model):
    """What a window of a kitchen is like beyond its bearing and size: heights, overhang, what stands opposite. It holds for every shoot there.

    The window is named by its bearing, and by its place among those with the same one, because a kitchen's windows are written anew when
    it is edited. ``head_cm`` is left out where the window's own height says it. ``building_degrees`` is the height angle of what stands
    opposite: 0 open sky, 90 a wall.
    """

    kitchen = models.ForeignKey(Kitchen, on_delete=models.CASCADE, related_name="window_measures")
    bearing_degrees = models.PositiveSmallIntegerField()
    number = models.PositiveSmallIntegerField(default=1)
    sill_cm = models.PositiveSmallIntegerField(default=90)
    head_cm = models.PositiveSmallIntegerField(null=True, blank=True)
    overhang_depth_cm = models.PositiveSmallIntegerField(default=0)
    overhang_above_cm = models.PositiveSmallIntegerField(default=0)
    building_degrees = models.PositiveSmallIntegerField(default=0)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["kitchen", "bearing_degrees", "number"], name="window_measured_once"),
            models.CheckConstraint(
                condition=Q(head_cm__isnull=True) | Q(head_cm__gt=F("sill_cm")), name="window_head_above_sill"
            ),
            models.CheckConstraint(condition=Q(building_degrees__lte=90), name="building_at_most_90_degrees"),
        ]

    def __str__(self) -> str:
        return f"Measures of the window facing {self.bearing_degrees}° of {self.kitchen}"


class LightPlan(Edited):
    """How table, lamp and cook of a shoot stand in a kitchen, in centimetres, and at which window. A shoot that moves to another kitchen
    gets another set-up.

    The window is named as in ``WindowMeasures``. Hours are of a clock round the table, 12 at the window wall.
    """

    class Kind(models.TextChoices):
        DAYLIGHT = DAYLIGHT, "Daylight"
        OVERCAST = OVERCAST, "Overcast"
        LAMP = LAMP, "Lamp"

    shoot = models.ForeignKey(Shoot, on_delete=models.CASCADE, related_name="light_plans")
    kitchen = models.ForeignKey(Kitchen, null=True, blank=True, on_delete=models.CASCADE, related_name="light_plans")
    kind = models.CharField(max_length=8, choices=Kind, default=Kind.DAYLIGHT)
    window_bearing = models.PositiveSmallIntegerField(null=True, blank=True)
    window_number = models.PositiveSmallIntegerField(default=1)
    table_cm = models.PositiveSmallIntegerField(default=90)
    table_distance_cm = models.PositiveSmallIntegerField(default=60)
    table_depth_cm = models.PositiveSmallIntegerField(default=80)
    table_width_cm = models.PositiveSmallIntegerField(default=140)
    table_aside_cm = models.SmallIntegerField(default=0)
    ceiling_cm = models.PositiveSmallIntegerField(default=240)
    behind_cm = models.PositiveSmallIntegerField(null=True, blank=True)
    lamp_hour = models.PositiveSmallIntegerField(default=10)
    cook_hour = models.PositiveSmallIntegerField(default=3)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(lamp_hour__range=(1, 12), cook_hour__range=(1, 12)), name="light_hours_of_a_clock"
            ),
            models.UniqueConstraint(fields=["shoot", "kitchen"], name="one_set_up_a_kitchen"),
            models.UniqueConstraint(
                fields=["shoot"], condition=Q(kitchen__isnull=True), name="one_set_up_without_a_kitchen"
            ),
        ]

    def __str__(self) -> str:
        return f"Light of {self.shoot}"


class Camera(Edited):
    """A body the studio shoots with: the sensor in millimetres and the pixels along its long side."""

    name = models.CharField(max_length=80)
    long_mm = models.DecimalField(max_digits=5, decimal_places=2)
    short_mm = models.DecimalField(max_digits=5, decimal_places=2)
    pixels = models.PositiveIntegerField()

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(short_mm__gt=0, long_mm__gte=F("short_mm"), pixels__gt=0), name="camera_has_a_sensor"
            )
        ]

    def __str__(self) -> str:
        return self.name


class OwnLens(Edited):
    """A lens the studio has: its focal lengths (one, or from and to), widest aperture, and how near its sensor may come to the subject."""

    name = models.CharField(max_length=80)
    shortest_mm = models.PositiveSmallIntegerField()
    longest_mm = models.PositiveSmallIntegerField()
    widest = models.DecimalField(max_digits=4, decimal_places=1, null=True, blank=True)
    nearest_cm = models.PositiveSmallIntegerField(null=True, blank=True)

    class Meta:
        ordering = ["shortest_mm", "longest_mm", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(shortest_mm__gt=0, longest_mm__gte=F("shortest_mm")), name="lens_has_a_focal_length"
            )
        ]

    def __str__(self) -> str:
        return self.name
