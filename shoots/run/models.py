from django.core.validators import MaxValueValidator
from django.db import models

from shared.edits import Edited
from shoots.brief.models import Dish, Shoot


class WantedLight(models.TextChoices):
    AS_SET_UP = "", "As the light is set up"
    SOFT = "soft", "Soft light at the window"
    HARD = "hard", "Sun on the table"
    LAMP = "lamp", "Lamp: any time of the day"


class Run(Edited):
    """The run of one day of a shoot as it was last planned. ``digest`` is of what it was planned from: another one makes it old.

    ``day`` counts from 1, the shoot's first. ``inputs`` is the digest of the day before its ``breaks`` were put in, and ``ways`` what could
    be left out of a day too full: both are reckoned once and kept, so that looking at the run plans nothing.
    ``before`` is the plan before the last move by hand, so that one press restores all of it (NULL: nothing to take back).
    """

    shoot = models.ForeignKey(Shoot, on_delete=models.CASCADE, related_name="runs")
    day = models.PositiveSmallIntegerField(default=1)
    first_set = models.PositiveSmallIntegerField(default=45, validators=[MaxValueValidator(480)])
    strike = models.PositiveSmallIntegerField(default=30, validators=[MaxValueValidator(480)])
    break_minutes = models.PositiveSmallIntegerField(default=30, validators=[MaxValueValidator(120)])
    slack_percent = models.PositiveSmallIntegerField(default=15, validators=[MaxValueValidator(100)])
    ovens = models.PositiveSmallIntegerField(default=2, validators=[MaxValueValidator(50)])
    burners = models.PositiveSmallIntegerField(default=4, validators=[MaxValueValidator(50)])
    digest = models.CharField(max_length=64, blank=True)
    finish = models.PositiveIntegerField(default=0)
    bound = models.PositiveIntegerField(default=0)
    searches = models.PositiveIntegerField(default=0)
    inputs = models.CharField(max_length=64, blank=True)
    breaks = models.PositiveSmallIntegerField(default=0)
    ways = models.JSONField(default=list, blank=True)
    before = models.JSONField(null=True, blank=True)
    planned_at = models.DateTimeField(null=True, blank=True)
    times_written_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["day"]
        constraints = [models.UniqueConstraint(fields=["shoot", "day"], name="one_run_per_day")]

    def __str__(self) -> str:
        return f"Run of {self.shoot}, day {self.day}"


class RunActivity(models.Model):
    """One activity of a run by its key: when it begins, and what a person changed about it (NULL: as drafted). Minutes from the call."""

    run = models.ForeignKey(Run, on_delete=models.CASCADE, related_name="activities")
    key = models.CharField(max_length=40)
    start = models.PositiveIntegerField(null=True, blank=True)
    minutes = models.PositiveIntegerField(null=True, blank=True)
    hold = models.PositiveIntegerField(null=True, blank=True)
    pinned = models.PositiveIntegerField(null=True, blank=True)
    light_from = models.PositiveIntegerField(null=True, blank=True)
    light_until = models.PositiveIntegerField(null=True, blank=True)
    light = models.CharField(max_length=4, choices=WantedLight, blank=True)

    class Meta:
        ordering = ["start", "pk"]
        constraints = [models.UniqueConstraint(fields=["run", "key"], name="activity_once_per_run")]

    def __str__(self) -> str:
        return self.key


class DishDay(models.Model):
    """On which day of its shoot a dish is made; a dish without a row is made on the first."""

    dish = models.OneToOneField(Dish, on_delete=models.CASCADE, related_name="made_on")
    day = models.PositiveSmallIntegerField(default=1)

    def __str__(self) -> str:
        return f"{self.dish}, day {self.day}"
