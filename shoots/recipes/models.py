from django.core.serializers.json import DjangoJSONEncoder
from django.db import models

from shared.edits import Edited
from shoots.brief.models import Dish
from shoots.plan.models import Staged
from shoots.plan.stages import OWN


class OwnKind(Edited, Staged):
    """A kind of moment the studio added to the kitchen's table. ``key`` is its id there."""

    name = models.CharField(max_length=40, unique=True)
    taught_by = models.CharField(max_length=150, blank=True)
    taught_on = models.DateField()

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name

    @property
    def key(self) -> str:
        return f"{OWN}{self.pk}"


class OwnWord(models.Model):
    """A word the studio taught the reader: what it means, who taught it and when."""

    word = models.CharField(max_length=40, unique=True)
    action = models.CharField(max_length=30)
    taught_by = models.CharField(max_length=150, blank=True)
    taught_on = models.DateField()

    class Meta:
        ordering = ["word"]

    def __str__(self) -> str:
        return self.word


class PutBy(models.Model):
    """What was written over or taken out of a recipe, kept so that it can be had back: the rows as they stood."""

    class Kind(models.TextChoices):
        READING = "reading", "The text before this one"
        TAKEN_OUT = "out", "Taken out"
        JOINED = "joined", "Joined"
        SPLIT = "split", "Split"

    dish = models.ForeignKey(Dish, on_delete=models.CASCADE, related_name="put_by")
    kind = models.CharField(max_length=7, choices=Kind)
    what = models.CharField(max_length=200)
    rows = models.JSONField(encoder=DjangoJSONEncoder)
    put_by_at = models.DateTimeField(auto_now=True)

    class Meta:
        ordering = ["-pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["dish"], condition=models.Q(kind="reading"), name="one_earlier_reading_a_dish"
            )
        ]

    def __str__(self) -> str:
        return self.what
