from datetime import date, timedelta

from django.db import models
from django.db.models import F, Q

from clients.models import Client
from shared.edits import Edited
from shoots.brief.models import IntendedUse, Shoot
from shoots.pictures.models import Picture


class LicenceState(models.TextChoices):
    DRAFT = "draft", "Draft"
    OFFERED = "offered", "Offered"
    ACCEPTED = "accepted", "Accepted"
    PAID = "paid", "Paid"
    DECLINED = "declined", "Declined"
    REFUNDED = "refunded", "Refunded"
    REVOKED = "revoked", "Revoked"
    SUPERSEDED = "superseded", "Superseded"


class Begins(models.TextChoices):
    ON_PAYMENT = "on_payment", "On payment"
    ON_DELIVERY = "on_delivery", "On delivery, lapsing if unpaid"
    ON_DATE = "on_date", "On a date"


class Licence(Edited, IntendedUse):
    """Who may use which pictures for what, where and until when. Unplaced until pictures and first day exist.

    ``use_from`` and ``use_until`` are half-open; ``use_until`` is empty for a licence without end.
    """

    number = models.CharField(max_length=30, unique=True)
    shoot = models.ForeignKey(Shoot, null=True, blank=True, on_delete=models.PROTECT, related_name="licences")
    licensee = models.ForeignKey(Client, on_delete=models.PROTECT, related_name="licences")
    billing_party = models.ForeignKey(Client, on_delete=models.PROTECT, related_name="licences_billed")
    trade = models.CharField(max_length=60, blank=True)  # as it was called on the day it was agreed
    trade_listed = models.CharField(max_length=60, blank=True)  # as the list calls it today: by this it is compared
    state = models.CharField(max_length=10, choices=LicenceState, default=LicenceState.DRAFT)
    left = models.CharField(max_length=10, choices=LicenceState, blank=True)  # the state a superseded licence was in
    pictures = models.ManyToManyField(Picture, through="LicencePicture", related_name="licences")
    pictures_agreed = models.PositiveSmallIntegerField(default=0)
    is_placed = models.BooleanField(default=False)
    use_from = models.DateField(null=True, blank=True)
    use_until = models.DateField(null=True, blank=True)
    exclusive_until = models.DateField(null=True, blank=True)
    embargo_until = models.DateField(null=True, blank=True)
    cut_on = models.DateField(null=True, blank=True)
    begins = models.CharField(max_length=11, choices=Begins, default=Begins.ON_DELIVERY)
    begins_on = models.DateField(null=True, blank=True)
    lapse_days = models.PositiveSmallIntegerField(default=30)
    delivered_on = models.DateField(null=True, blank=True)
    lapses_on = models.DateField(null=True, blank=True)
    paid_on = models.DateField(null=True, blank=True)
    copies_used = models.PositiveIntegerField(default=0)
    credit_line = models.CharField(max_length=120, blank=True)
    is_credit_required = models.BooleanField(default=True)
    fee_net = models.DecimalField(max_digits=12, decimal_places=2, default=0)
    currency = models.CharField(max_length=3, default="EUR")
    is_billed_with_shoot = models.BooleanField(default=True)
    order_number = models.CharField(max_length=60, blank=True)
    tree_version = models.CharField(max_length=20, blank=True)
    frozen = models.JSONField(default=dict, blank=True)
    frozen_sha256 = models.CharField(max_length=64, blank=True)
    renews = models.ForeignKey("self", null=True, blank=True, on_delete=models.PROTECT, related_name="renewed_by")
    supersedes = models.ForeignKey(
        "self", null=True, blank=True, on_delete=models.PROTECT, related_name="superseded_by"
    )
    origin = models.CharField(max_length=40, blank=True)
    made_at = models.DateTimeField()
    accepted_at = models.DateTimeField(null=True, blank=True)
    accepted_by = models.CharField(max_length=120, blank=True)
    signed_by = models.CharField(max_length=120, blank=True)  # the photographer, typed, where the licence is exclusive
    end_reason = models.CharField(max_length=300, blank=True)

    class Meta:
        ordering = ["-made_at", "-pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(use_until__isnull=True) | Q(use_from__lt=F("use_until")), name="licence_has_a_day"
            ),
            models.CheckConstraint(
                condition=Q(is_placed=False) | Q(use_from__isnull=False), name="placed_licence_has_a_first_day"
            ),
            models.CheckConstraint(
                condition=~Q(state__in=["revoked", "superseded"]) | Q(cut_on__isnull=False),
                name="licence_cut_short_has_its_day",
            ),
            models.CheckConstraint(
                condition=~Q(use_classes=[]) & ~Q(use_media=[]) & ~Q(use_territories=[]), name="licence_has_a_use"
            ),
            models.CheckConstraint(
                condition=Q(use_copies__isnull=True) | Q(use_copies__gt=0), name="licence_has_a_copy"
            ),
            models.CheckConstraint(
                condition=Q(embargo_until__isnull=True)
                | Q(use_until__isnull=True)
                | Q(embargo_until__lt=F("use_until")),
                name="licence_leaves_a_day_to_show",
            ),
        ]
        # No condition: SQLite uses a partial index only where the query spells its condition out, and ours bind their values.
        indexes = [models.Index(fields=["use_until"], name="licence_by_end")]

    def __str__(self) -> str:
        return f"{self.number}, {self.licensee}"

    @property
    def last_day(self) -> date | None:
        """The last day of use, as it is printed; None has no end, or ends when the licence that takes its place begins."""
        ends = [day for day in (self.use_until, self.cut_on) if day is not None and day != date.max]
        return min(ends) - timedelta(days=1) if ends else None

    @property
    def counts_from_its_beginning(self) -> bool:
        """True when the client agreed to months from delivery or payment, not to dates."""
        return "use_from" not in self.frozen


class LicencePicture(models.Model):
    """A picture a licence covers."""

    licence = models.ForeignKey(Licence, on_delete=models.CASCADE, related_name="licence_pictures")
    picture = models.ForeignKey(Picture, on_delete=models.PROTECT, related_name="licence_pictures")

    class Meta:
        constraints = [models.UniqueConstraint(fields=["licence", "picture"], name="picture_once_per_licence")]


class LicencePaper(models.Model):
    """A licence as it was printed, with what it was printed from: kept for good. What changes later makes the next version."""

    licence = models.ForeignKey(Licence, on_delete=models.PROTECT, related_name="papers")
    version = models.PositiveSmallIntegerField()
    snapshot = models.JSONField()
    file = models.ForeignKey("shared.StoredFile", on_delete=models.PROTECT, related_name="+")
    made_at = models.DateTimeField()

    class Meta:
        ordering = ["pk"]
        constraints = [models.UniqueConstraint(fields=["licence", "version"], name="one_paper_per_licence_version")]

    def __str__(self) -> str:
        return f"{self.licence.number}, version {self.version}"


class LicenceBox(models.Model):
    """Derived: a licence as intervals of leaf numbers, for fast questions. Rebuilt whenever codes or trees change."""

    licence = models.ForeignKey(Licence, on_delete=models.CASCADE, related_name="boxes")
    class_bit = models.PositiveSmallIntegerField()
    medium_lo = models.PositiveIntegerField()
    medium_hi = models.PositiveIntegerField()
    territory_lo = models.PositiveIntegerField()
    territory_hi = models.PositiveIntegerField()
    day_from = models.DateField()
    day_until = models.DateField(null=True, blank=True)

    class Meta:
        indexes = [models.Index(fields=["licence", "day_until"], name="box_by_licence")]
        constraints = [
            models.CheckConstraint(condition=Q(medium_lo__lt=F("medium_hi")), name="box_has_a_medium"),
            models.CheckConstraint(condition=Q(territory_lo__lt=F("territory_hi")), name="box_has_a_territory"),
            models.CheckConstraint(
                condition=Q(day_until__isnull=True) | Q(day_from__lt=F("day_until")), name="box_has_a_day"
            ),
        ]
