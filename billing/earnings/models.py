from django.db import models
from django.db.models import Q

from shared.edits import Edited
from shoots.brief.models import Shoot


class WorkedDays(Edited):
    """The days really worked on a shoot, as the photographer typed them; they count instead of those of the accepted lines."""

    shoot = models.OneToOneField(Shoot, on_delete=models.CASCADE, related_name="worked_days")
    on_set = models.DecimalField(max_digits=5, decimal_places=2, default=0)
    preparation = models.DecimalField(max_digits=5, decimal_places=2, default=0)
    finishing = models.DecimalField(max_digits=5, decimal_places=2, default=0)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(on_set__gte=0, preparation__gte=0, finishing__gte=0), name="worked_days_are_not_negative"
            )
        ]

    def __str__(self) -> str:
        return f"Days worked on {self.shoot}"
