from django.db import models

from clients.models import Kitchen, Person
from shared.edits import Edited
from shoots.brief.models import AgreedPicture, Shoot
from shoots.plan.models import Shot


class Assessment(models.TextChoices):
    NOT_ASSESSED = "not_assessed", "Not looked at yet"
    NONE = "none", "None"
    LISTED = "listed", "Listed"


class Recognisable(models.TextChoices):
    YES = "yes", "Yes"
    NO = "no", "No"
    ASK = "ask", "Ask"


class Picture(Edited):
    """A picture as it came in: the original bytes, copies for the screen, what is in it."""

    class State(models.TextChoices):
        NEW = "new", "New"
        CHOSEN = "chosen", "Chosen"
        LEFT = "left", "Left"

    number = models.CharField(max_length=40, unique=True)
    shoot = models.ForeignKey(Shoot, on_delete=models.PROTECT, related_name="pictures")
    original = models.ForeignKey("shared.StoredFile", on_delete=models.PROTECT, related_name="+")
    thumbnail = models.ForeignKey("shared.StoredFile", on_delete=models.PROTECT, related_name="+")
    preview = models.ForeignKey("shared.StoredFile", on_delete=models.PROTECT, related_name="+")
    original_name = models.CharField(max_length=200)
    sha256 = models.CharField(max_length=64)
    width = models.PositiveIntegerField()
    height = models.PositiveIntegerField()
    captured_at = models.DateTimeField(null=True, blank=True)
    captured_zone_known = models.BooleanField(default=False)
    title = models.CharField(max_length=160, blank=True)
    caption = models.TextField(blank=True)
    alt_text = models.CharField(max_length=300, blank=True)
    state = models.CharField(max_length=6, choices=State, default=State.NEW)
    people = models.CharField(max_length=12, choices=Assessment, default=Assessment.NOT_ASSESSED)
    properties = models.CharField(max_length=12, choices=Assessment, default=Assessment.NOT_ASSESSED)
    is_checked = models.BooleanField(default=False)
    is_drawn = models.BooleanField(default=False)
    substituted = models.CharField(max_length=200, blank=True)
    shots = models.ManyToManyField(Shot, blank=True, related_name="pictures")
    agreed_pictures = models.ManyToManyField(AgreedPicture, blank=True, related_name="pictures")
    received_at = models.DateTimeField()

    class Meta:
        ordering = ["-received_at", "-pk"]
        constraints = [models.UniqueConstraint(fields=["shoot", "sha256"], name="file_once_per_shoot")]
        indexes = [models.Index(fields=["received_at", "id"], name="picture_by_arrival")]

    def __str__(self) -> str:
        return self.title or self.number


class PicturePerson(models.Model):
    """A person in a picture, and whether they can be recognised."""

    picture = models.ForeignKey(Picture, on_delete=models.CASCADE, related_name="persons_shown")
    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="shown_in")
    recognisable = models.CharField(max_length=3, choices=Recognisable, default=Recognisable.YES)
    is_minor = models.BooleanField(default=False)
    remark = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["pk"]
        constraints = [models.UniqueConstraint(fields=["picture", "person"], name="person_once_per_picture")]


class PictureProperty(models.Model):
    """A place or thing in a picture that somebody owns."""

    picture = models.ForeignKey(Picture, on_delete=models.CASCADE, related_name="properties_shown")
    kitchen = models.ForeignKey(Kitchen, null=True, blank=True, on_delete=models.PROTECT, related_name="shown_in")
    description = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["pk"]
