from django.db import models
from django.db.models import Q

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
