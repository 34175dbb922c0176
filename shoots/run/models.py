from django.core.validators import MaxValueValidator
from django.db import models

from shared.edits import Edited
from shoots.brief.models import Shoot


class Run(Edited):
    """The run of a shoot's day as it was last planned. ``digest`` is of what it was planned from: another one makes it old."""

    shoot = models.OneToOneField(Shoot, on_delete=models.CASCADE, related_name="run")
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
    planned_at = models.DateTimeField(null=True, blank=True)
    times_written_at = models.DateTimeField(null=True, blank=True)

    def __str__(self) -> str:
        return f"Run of {self.shoot}"


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

    class Meta:
        ordering = ["start", "pk"]
        constraints = [models.UniqueConstraint(fields=["run", "key"], name="activity_once_per_run")]

    def __str__(self) -> str:
        return self.key
