from django.db import models
from django.db.models import Q

from shoots.brief.models import Shoot
from shoots.day.holding import END_OF_DAY
from shoots.plan.models import Shot


class Take(models.Model):
    """What was pressed on set for a shot, and when. Undo is a later row that names the one it undoes; no row ever changes."""

    class Outcome(models.TextChoices):
        DONE = "done", "Done"
        AGAIN = "again", "Again"
        SKIP = "skip", "Skip"
        UNDO = "undo", "Undo"

    shot = models.ForeignKey(Shot, on_delete=models.CASCADE, related_name="takes")
    outcome = models.CharField(max_length=5, choices=Outcome)
    undoes = models.OneToOneField("self", null=True, blank=True, on_delete=models.CASCADE, related_name="undone_by")
    was = models.CharField(max_length=8, choices=Shot.State, default=Shot.State.PLANNED)
    at = models.DateTimeField()
    by = models.CharField(max_length=150, blank=True)
    note = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["at", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(outcome="undo", undoes__isnull=False) | (~Q(outcome="undo") & Q(undoes__isnull=True)),
                name="undo_names_what_it_undoes",
            )
        ]

    def __str__(self) -> str:
        return f"{self.shot}: {self.get_outcome_display()}"


class Mark(models.Model):
    """The log of a day on set: everything pressed, on whichever phone. No row ever changes; an undo is a later row.

    ``key`` is made on the phone, so that a mark sent twice is one. ``at`` is the moment by the server's clock, ``phone_at`` what the
    phone's own said and ``clock_off`` the seconds it was ahead. ``about`` is the mark that is undone, or the clock that is ended.
    ``trouble`` says why a mark changed nothing: it is kept all the same.
    """

    class Kind(models.TextChoices):
        DONE = "done", "Done"
        AGAIN = "again", "Again"
        SKIP = "skip", "Skip"
        UNDO = "undo", "Undo"
        OK = "ok", "OK’d"
        OK_BACK = "ok_back", "OK taken back"
        NOTE = "note", "Note"
        UNPLANNED = "unplanned", "Unplanned shot"
        PLATED = "plated", "On the plate"
        CLEARED = "cleared", "Off the plate"
        TICK = "tick", "Ticked"

    key = models.UUIDField(unique=True)
    shoot = models.ForeignKey(Shoot, on_delete=models.CASCADE, related_name="marks")
    shot = models.ForeignKey(Shot, null=True, blank=True, on_delete=models.CASCADE, related_name="marks")
    kind = models.CharField(max_length=9, choices=Kind)
    words = models.CharField(max_length=200, blank=True)
    item = models.CharField(max_length=20, blank=True)
    minutes = models.PositiveSmallIntegerField(null=True, blank=True)
    about = models.ForeignKey("self", null=True, blank=True, on_delete=models.CASCADE, related_name="later")
    take = models.OneToOneField(Take, null=True, blank=True, on_delete=models.CASCADE, related_name="mark")
    at = models.DateTimeField()
    phone_at = models.DateTimeField()
    clock_off = models.IntegerField(default=0)
    by = models.CharField(max_length=150, blank=True)
    held_at = models.DateTimeField()
    trouble = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["at", "pk"]

    def __str__(self) -> str:
        return f"{self.get_kind_display()}: {self.shot or self.words}"

    @property
    def ticked(self) -> str:
        """The line of the end of the day that this ticks, in words."""
        return next((item.words for item in END_OF_DAY if item.key == self.item), "")


class HoldLimit(models.Model):
    """The studio's own minutes for something of ``shoots.day.holding``."""

    key = models.CharField(max_length=20, unique=True)
    minutes = models.PositiveSmallIntegerField()

    def __str__(self) -> str:
        return f"{self.key}: {self.minutes} min"
