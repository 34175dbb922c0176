from django.db import models
from django.db.models import F, Q

from clients.models import Client
from shared.edits import Edited
from shoots.licences.models import Licence
from shoots.pictures.models import Picture


class FoundState(models.TextChoices):
    NEW = "new", "New"
    LOOKED = "looked", "Looked into, nothing to do"
    WRITTEN = "written", "Written to"
    LICENSED = "licensed", "Licence taken afterwards"
    TAKEN_DOWN = "taken_down", "Taken down"
    PAID = "paid", "Paid"
    GIVEN_UP = "given_up", "Given up"
    LAWYER = "lawyer", "Handed to a lawyer"


OUTCOMES = (
    FoundState.LOOKED,
    FoundState.LICENSED,
    FoundState.TAKEN_DOWN,
    FoundState.PAID,
    FoundState.GIVEN_UP,
    FoundState.LAWYER,
)
# What came of it may change again: a picture taken down comes back, a lawyer gives the matter back.
FOUND_MOVES = {
    state.value: frozenset({each.value for each in (*OUTCOMES, FoundState.WRITTEN)} - {state.value})
    | ({FoundState.WRITTEN.value} if state == FoundState.WRITTEN else set())
    for state in FoundState
}


class FoundUse(Edited):
    """A use of pictures seen in the wild: when, where, by whom, and what came of it. Lists are codes of the trees; empty: not known."""

    number = models.CharField(max_length=30, unique=True)
    state = models.CharField(max_length=10, choices=FoundState, default=FoundState.NEW)
    pictures = models.ManyToManyField(Picture, blank=True, related_name="found_uses")
    seen_on = models.DateField()
    since = models.DateField(null=True, blank=True)
    place = models.CharField(max_length=160)
    link = models.CharField(max_length=1000, blank=True)
    client = models.ForeignKey(Client, null=True, blank=True, on_delete=models.PROTECT, related_name="found_uses")
    user_name = models.CharField(max_length=120, blank=True)
    use_classes = models.JSONField(default=list, blank=True)
    use_media = models.JSONField(default=list, blank=True)
    use_territories = models.JSONField(default=list, blank=True)
    use_copies = models.PositiveIntegerField(null=True, blank=True)
    note = models.TextField(blank=True)
    answer_by = models.DateField(null=True, blank=True)
    answered_on = models.DateField(null=True, blank=True)
    answer = models.CharField(max_length=300, blank=True)
    licence = models.ForeignKey(Licence, null=True, blank=True, on_delete=models.PROTECT, related_name="found_uses")
    made_at = models.DateTimeField()

    class Meta:
        ordering = ["-seen_on", "-pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(since__isnull=True) | Q(since__lte=F("seen_on")), name="found_since_first"
            ),
            models.CheckConstraint(condition=~Q(place=""), name="found_has_a_place"),
        ]
        indexes = [models.Index(fields=["state", "answer_by"], name="found_by_state")]

    def __str__(self) -> str:
        return f"{self.number}, {self.place}"

    @property
    def user(self) -> str:
        """Who uses it, as far as it is known."""
        return self.client.name if self.client else self.user_name


class FoundShot(models.Model):
    """A screenshot or photograph of the use, its bytes kept as they came; ``copy`` is an upright JPEG to show and print, not of a PDF."""

    found = models.ForeignKey(FoundUse, on_delete=models.PROTECT, related_name="shots")
    file = models.ForeignKey("shared.StoredFile", on_delete=models.PROTECT, related_name="+")
    copy = models.ForeignKey("shared.StoredFile", null=True, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ["pk"]


class FoundLetter(models.Model):
    """A letter as it was printed. Rows are only ever added: triggers refuse UPDATE and DELETE."""

    found = models.ForeignKey(FoundUse, on_delete=models.PROTECT, related_name="letters")
    version = models.PositiveSmallIntegerField()
    snapshot = models.JSONField()
    file = models.ForeignKey("shared.StoredFile", on_delete=models.PROTECT, related_name="+")
    made_at = models.DateTimeField()

    class Meta:
        ordering = ["pk"]
        constraints = [models.UniqueConstraint(fields=["found", "version"], name="one_letter_per_version")]
