from django.db import models
from django.db.models import Q

from clients.models import Client, Kitchen, Person
from shared.business.models import Language
from shoots.brief.models import Shoot


class ReleaseState(models.TextChoices):
    DRAFT = "draft", "Draft"
    OFFERED = "offered", "Waiting for a signature"
    SIGNED = "signed", "Signed"
    REFUSED = "refused", "Refused"
    WITHDRAWN = "withdrawn", "Withdrawn"
    CALLED_BACK = "called_back", "Called back"


RELEASE_MOVES: dict[str, frozenset[str]] = {
    "draft": frozenset({"offered", "called_back"}),
    "offered": frozenset({"signed", "refused", "called_back"}),
    "signed": frozenset({"withdrawn"}),
    "refused": frozenset(),
    "withdrawn": frozenset(),
    "called_back": frozenset(),
}


class Release(models.Model):
    """What a person or the owner of a place agreed to. Never edited once offered; a change is a new release."""

    class Kind(models.TextChoices):
        MODEL = "model", "Person"
        PROPERTY = "property", "Place or thing"

    class Capacity(models.TextChoices):
        SELF = "self", "For myself"
        OWNER = "owner", "I own this place"
        FOR_OWNER = "for_owner", "I may sign for the owner"

    number = models.CharField(max_length=30, unique=True)
    shoot = models.ForeignKey(Shoot, on_delete=models.PROTECT, related_name="releases")
    kind = models.CharField(max_length=8, choices=Kind)
    person = models.ForeignKey(Person, null=True, blank=True, on_delete=models.PROTECT, related_name="releases")
    kitchen = models.ForeignKey(Kitchen, null=True, blank=True, on_delete=models.PROTECT, related_name="releases")
    property_description = models.CharField(max_length=200, blank=True)
    signer = models.ForeignKey(Person, null=True, blank=True, on_delete=models.PROTECT, related_name="releases_to_sign")
    own_promotion_of = models.ForeignKey(
        Client, null=True, blank=True, on_delete=models.PROTECT, related_name="own_promotion_releases"
    )
    use_classes = models.JSONField(default=list, blank=True)
    use_media = models.JSONField(default=list, blank=True)
    use_territories = models.JSONField(default=list, blank=True)
    use_from = models.DateField(null=True, blank=True)
    use_until = models.DateField(null=True, blank=True)
    includes_portfolio = models.BooleanField(default=True)
    pictures_promised = models.PositiveSmallIntegerField(default=0)
    first_language = models.CharField(max_length=5, choices=Language, default=Language.ENGLISH)
    second_language = models.CharField(max_length=5, choices=Language, blank=True)
    prevailing_language = models.CharField(max_length=5, choices=Language, default=Language.ENGLISH)
    state = models.CharField(max_length=12, choices=ReleaseState, default=ReleaseState.DRAFT)
    snapshot = models.JSONField(default=dict, blank=True)
    text_sha256 = models.CharField(max_length=64, blank=True)
    capacity = models.CharField(max_length=9, choices=Capacity, blank=True)
    signer_name = models.CharField(max_length=120, blank=True)
    signer_email = models.EmailField(blank=True)
    signature_path = models.TextField(blank=True)
    typed_name = models.CharField(max_length=120, blank=True)
    signed_at = models.DateTimeField(null=True, blank=True)
    refused_at = models.DateTimeField(null=True, blank=True)
    refused_reason = models.CharField(max_length=300, blank=True)
    withdrawn_at = models.DateTimeField(null=True, blank=True)
    withdrawn_reason = models.CharField(max_length=300, blank=True)
    paper = models.ForeignKey("shared.StoredFile", null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    supersedes = models.ForeignKey(
        "self", null=True, blank=True, on_delete=models.PROTECT, related_name="superseded_by"
    )
    made_at = models.DateTimeField()

    class Meta:
        ordering = ["-made_at", "-pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(kind="model", person__isnull=False)
                | Q(kind="property", kitchen__isnull=False)
                | Q(kind="property", property_description__gt=""),
                name="release_names_whom_or_what",
            )
        ]

    def __str__(self) -> str:
        return f"{self.number}, {self.who_or_what}"

    @property
    def signed_by_another(self) -> bool:
        """A person's release that bears the name of somebody else, whoever that is."""
        if self.kind != self.Kind.MODEL or self.signed_at is None or self.person is None:
            return False
        return self.signer_name.casefold().split() != self.person.name.casefold().split()

    @property
    def who_or_what(self) -> str:
        if self.kind == self.Kind.MODEL:
            return str(self.person)
        return str(self.kitchen) if self.kitchen else self.property_description
