from django.db import models

from shoots.plan.models import Shot


class Take(models.Model):
    """What was pressed on set for a shot, and when. Undo is a later row that names the one it undoes."""

    class Outcome(models.TextChoices):
        DONE = "done", "Done"
        AGAIN = "again", "Again"
        SKIP = "skip", "Skip"

    shot = models.ForeignKey(Shot, on_delete=models.CASCADE, related_name="takes")
    outcome = models.CharField(max_length=5, choices=Outcome)
    at = models.DateTimeField()
    by = models.CharField(max_length=150, blank=True)
    note = models.CharField(max_length=200, blank=True)
    is_undone = models.BooleanField(default=False)

    class Meta:
        ordering = ["at", "pk"]

    def __str__(self) -> str:
        return f"{self.shot}: {self.get_outcome_display()}"
