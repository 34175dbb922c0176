from django.db import models


class TreeVersion(models.Model):
    """The media or the territories as they were from a day on. A change makes the next version; no version is ever changed.

    ``nodes``: code, parent, marks and the studio's own names, see ``shoots.uses.stored``; ``sha256`` is theirs.
    """

    class Kind(models.TextChoices):
        MEDIA = "media", "Media"
        TERRITORIES = "territories", "Territories"

    kind = models.CharField(max_length=11, choices=Kind)
    number = models.PositiveIntegerField()
    name = models.CharField(max_length=20, unique=True)
    valid_from = models.DateField()
    nodes = models.JSONField()
    sha256 = models.CharField(max_length=64)
    change = models.CharField(max_length=200, blank=True)
    made_by = models.CharField(max_length=150, blank=True)

    class Meta:
        ordering = ["kind", "-number"]
        constraints = [models.UniqueConstraint(fields=["kind", "number"], name="one_tree_per_kind_and_number")]

    def __str__(self) -> str:
        return self.name
