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
        GUARDIAN = "guardian", "Parent or guardian"

    class Reach(models.TextChoices):
        SHOOT = "shoot", "Pictures of this shoot"
        NAMED = "named", "Pictures of several shoots, each named"
        HOUSE = "house", "Pictures of every shoot for the house"
        ALL = "all", "Pictures of every shoot"

    class With(models.TextChoices):
        SCREEN = "screen", "On a screen"
        PEN = "pen", "With a pen, on paper"

    class Decision(models.TextChoices):
        KEEP = "keep", "Uses agreed before go on"
        STOP = "stop", "The pictures come down everywhere"
        SOME = "some", "Some uses end, as written below"

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
    reach = models.CharField(max_length=5, choices=Reach, default=Reach.SHOOT)
    reach_house = models.ForeignKey(
        Client, null=True, blank=True, on_delete=models.PROTECT, related_name="releases_of_all_shoots"
    )
    named_shoots = models.JSONField(default=list, blank=True)
    """The keys of all shoots it names, its own among them, where ``reach`` is ``named``: kept in the row, so that nothing adds one later."""
    is_minor = models.BooleanField(default=False)
    guardian_name = models.CharField(max_length=120, blank=True)
    minor_signs = models.BooleanField(default=False)
    """The person under age is old enough to sign beside the guardian, by the studio's own age. They never sign instead."""
    asks_witness = models.BooleanField(default=False)
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
    signed_with = models.CharField(max_length=6, choices=With, default=With.SCREEN)
    paper_wording = models.CharField(max_length=200, blank=True)
    """What a signed paper with words of its own is called; the limits of this row were typed from it then."""
    minor_signature_path = models.TextField(blank=True)
    minor_typed_name = models.CharField(max_length=120, blank=True)
    minor_signed_at = models.DateTimeField(null=True, blank=True)
    witness_name = models.CharField(max_length=120, blank=True)
    witness_signature_path = models.TextField(blank=True)
    signed_at = models.DateTimeField(null=True, blank=True)
    refused_at = models.DateTimeField(null=True, blank=True)
    refused_reason = models.CharField(max_length=300, blank=True)
    withdrawn_at = models.DateTimeField(null=True, blank=True)
    withdrawn_reason = models.CharField(max_length=300, blank=True)
    decision = models.CharField(max_length=4, choices=Decision, blank=True)
    decision_words = models.CharField(max_length=500, blank=True)
    decided_at = models.DateTimeField(null=True, blank=True)
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
            ),
            models.CheckConstraint(
                condition=Q(reach="house", reach_house__isnull=False)
                | Q(reach__in=["shoot", "named", "all"], reach_house__isnull=True),
                name="release_for_a_house_names_it",
            ),
            models.CheckConstraint(
                condition=Q(is_minor=False, guardian_name="")
                | Q(is_minor=True, kind="model", reach="shoot", guardian_name__gt=""),
                name="release_under_age_names_a_guardian",
            ),
            models.CheckConstraint(
                condition=Q(reach="named") & ~Q(named_shoots=[]) | ~Q(reach="named") & Q(named_shoots=[]),
                name="release_for_several_shoots_names_them",
            ),
            models.CheckConstraint(
                condition=Q(minor_signs=False) | Q(is_minor=True), name="release_asks_only_the_young_beside_a_guardian"
            ),
            models.CheckConstraint(
                condition=Q(signed_with="screen")
                | ~Q(state__in=["signed", "withdrawn"])
                | Q(paper__isnull=False, signed_at__isnull=False),
                name="release_on_paper_counts_with_its_scan",
            ),
            # Things are told apart by their words alone: another house may have one of the same name.
            models.CheckConstraint(
                condition=Q(kind="model") | Q(kitchen__isnull=False) | Q(reach__in=["shoot", "named", "house"]),
                name="release_of_a_thing_stays_in_its_house",
            ),
        ]
        indexes = [
            models.Index(fields=["made_at", "id"], name="release_by_making"),
            models.Index(fields=["state"], name="release_by_state"),
        ]

    def __str__(self) -> str:
        return f"{self.number}, {self.who_or_what}"

    @property
    def signed_by_another(self) -> bool:
        """A person's release that bears another name than that of who was to sign, whoever that is."""
        if self.kind != self.Kind.MODEL or self.signed_at is None or self.person is None:
            return False
        return self.signer_name.casefold().split() != self.expected_signer.casefold().split()

    @property
    def expected_signer(self) -> str:
        """Who was to sign a person's release: the guardian of somebody under age, else the person."""
        return self.guardian_name or (self.person.name if self.person else "")

    @property
    def is_signed_by_guardian(self) -> bool:
        return self.is_minor and self.signed_at is not None and self.capacity == self.Capacity.GUARDIAN

    @property
    def has_own_wording(self) -> bool:
        """A paper that others worded: its limits were typed, its text is in the scan alone."""
        return self.paper_wording != ""

    @property
    def is_on_paper(self) -> bool:
        return self.signed_with == self.With.PEN

    @property
    def text_code(self) -> str:
        """The start of the text's hash in groups of four, as the print bears it: short enough to compare by eye."""
        return " ".join(self.text_sha256[at : at + 4] for at in range(0, 12, 4))

    def reaches(self, shoot_pk: int, house_pk: int) -> bool:
        """True when its words take in pictures of a shoot that is made for that house."""
        if self.reach == self.Reach.HOUSE:
            return self.reach_house_id == house_pk
        if self.reach == self.Reach.NAMED:
            return shoot_pk in self.named_shoots
        return self.reach == self.Reach.ALL or self.shoot_id == shoot_pk

    @property
    def who_or_what(self) -> str:
        if self.kind == self.Kind.MODEL:
            return str(self.person)
        return str(self.kitchen) if self.kitchen else self.property_description


class ReleaseScan(models.Model):
    """A further sheet of a release signed on paper, kept as it came; the first one is the ``paper`` of the release."""

    release = models.ForeignKey(Release, on_delete=models.PROTECT, related_name="scans")
    file = models.ForeignKey("shared.StoredFile", on_delete=models.PROTECT, related_name="+")
    position = models.PositiveSmallIntegerField()

    class Meta:
        ordering = ["position"]
        constraints = [models.UniqueConstraint(fields=["release", "position"], name="sheet_once_per_release")]

    def __str__(self) -> str:
        return f"Sheet {self.position} of {self.release.number}"
