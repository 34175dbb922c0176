from django.db import models
from django.db.models import Q

from shared.business.models import Language
from shared.edits import Edited
from shoots.brief.models import AgreedPicture, BillableWhen, Finishing, IntendedUse, Shoot
from shoots.licences.models import Begins


class EstimateState(models.TextChoices):
    DRAFT = "draft", "Draft"
    SENT = "sent", "Sent"
    ACCEPTED = "accepted", "Accepted"
    DECLINED = "declined", "Declined"
    SUPERSEDED = "superseded", "Superseded"
    CALLED_BACK = "called_back", "Called back"


ESTIMATE_MOVES: dict[str, frozenset[str]] = {
    "draft": frozenset({"sent", "called_back"}),
    "sent": frozenset({"accepted", "declined", "superseded", "called_back"}),
    "accepted": frozenset({"superseded"}),
    "declined": frozenset({"superseded"}),
    "superseded": frozenset(),
    "called_back": frozenset({"superseded"}),
}


class Promise(models.TextChoices):
    FIXED = "fixed", "Fixed, except costs marked at most"
    TOLERANCE = "tolerance", "May rise by a stated percentage, more needs a yes"


class Estimate(Edited):
    """An offer to a client for one shoot: one to three options, of which exactly one is taken. Frozen once sent."""

    number = models.CharField(max_length=30)
    issue = models.PositiveSmallIntegerField(default=1)
    shoot = models.ForeignKey(Shoot, on_delete=models.PROTECT, related_name="estimates")
    supersedes = models.ForeignKey(
        "self", null=True, blank=True, on_delete=models.PROTECT, related_name="superseded_by"
    )
    state = models.CharField(max_length=11, choices=EstimateState, default=EstimateState.DRAFT)
    language = models.CharField(max_length=5, choices=Language, default=Language.ENGLISH)
    currency = models.CharField(max_length=3, default="EUR")
    # The card it is reckoned by, frozen when it was drafted, and its SHA-256.
    card = models.JSONField(default=dict, blank=True)
    card_sha256 = models.CharField(max_length=64, blank=True)
    # In the client's own money: what one of the studio's buys, of which day, by whose word. No rate: the studio's own money.
    currency_rate = models.DecimalField(max_digits=18, decimal_places=8, null=True, blank=True)
    currency_rate_on = models.DateField(null=True, blank=True)
    currency_rate_source = models.CharField(max_length=160, blank=True)
    own_terms = models.JSONField(
        default=dict, blank=True
    )  # the terms' rates in the studio's money, while another is offered
    opening = models.TextField(blank=True)
    promise = models.CharField(max_length=9, choices=Promise, default=Promise.FIXED)
    tolerance_percent = models.DecimalField(max_digits=5, decimal_places=2, default=10)
    deposit_percent = models.DecimalField(max_digits=5, decimal_places=2, default=40)
    deposit_days = models.PositiveSmallIntegerField(default=7)
    rounds_included = models.PositiveSmallIntegerField(default=1)
    further_round_rate = models.DecimalField(max_digits=12, decimal_places=2, default=60)
    overtime_rate = models.DecimalField(max_digits=12, decimal_places=2, default=120)
    hours_in_day = models.DecimalField(max_digits=4, decimal_places=1, default=8)
    day_rate = models.DecimalField(max_digits=12, decimal_places=2, default=780)
    cancellation_free_days = models.PositiveSmallIntegerField(default=5)
    cancellation_percent = models.DecimalField(max_digits=5, decimal_places=2, default=50)
    cancellation_day_percent = models.DecimalField(max_digits=5, decimal_places=2, default=100)
    is_weather_free_once = models.BooleanField(default=True)
    begins = models.CharField(max_length=11, choices=Begins, default=Begins.ON_DELIVERY)
    begins_on = models.DateField(null=True, blank=True)
    lapse_days = models.PositiveSmallIntegerField(default=30)
    billable_when = models.CharField(max_length=9, choices=BillableWhen, default=BillableWhen.DELIVERED)
    portfolio_from = models.DateField(null=True, blank=True)
    further_terms = models.TextField(blank=True)
    valid_until = models.DateField(null=True, blank=True)
    tax_category = models.CharField(max_length=2, default="S")
    tax_percent = models.DecimalField(max_digits=5, decimal_places=2, default=19)
    tax_reason = models.CharField(max_length=200, blank=True)
    snapshot = models.JSONField(default=dict, blank=True)
    paper = models.ForeignKey("shared.StoredFile", null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    sent_to = models.EmailField(blank=True)
    made_at = models.DateTimeField()
    sent_at = models.DateTimeField(null=True, blank=True)
    reminded_at = models.DateTimeField(null=True, blank=True)
    decided_at = models.DateTimeField(null=True, blank=True)
    signed_by = models.CharField(max_length=120, blank=True)
    accepted_option = models.ForeignKey(
        "EstimateOption", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    accepted_snapshot = models.JSONField(default=dict, blank=True)
    accepted_name = models.CharField(max_length=120, blank=True)
    accepted_role = models.CharField(max_length=80, blank=True)
    accepted_address = models.GenericIPAddressField(null=True, blank=True)
    order_number = models.CharField(max_length=60, blank=True)
    declined_reason = models.CharField(max_length=500, blank=True)

    class Meta:
        ordering = ["-made_at", "-pk"]
        constraints = [
            models.UniqueConstraint(fields=["number", "issue"], name="estimate_issue_once"),
            models.CheckConstraint(
                condition=~Q(state="accepted") | Q(accepted_option__isnull=False),
                name="accepted_estimate_names_its_option",
            ),
            models.CheckConstraint(
                condition=Q(currency_rate=None)
                | Q(currency_rate__gt=0, currency_rate_on__isnull=False) & ~Q(currency_rate_source=""),
                name="currency_rate_is_dated_and_sourced",
            ),
        ]
        indexes = [
            models.Index(fields=["made_at", "id"], name="estimate_by_making"),
            models.Index(fields=["state", "sent_at"], name="estimate_by_state"),
        ]

    def __str__(self) -> str:
        return self.number if self.issue == 1 else f"{self.number}, version {self.issue}"


class EstimateOption(Edited, IntendedUse):
    """One way to do the job, with its lines, agreed pictures and use."""

    estimate = models.ForeignKey(Estimate, on_delete=models.CASCADE, related_name="options")
    letter = models.CharField(max_length=1)
    title = models.CharField(max_length=120)
    summary = models.CharField(max_length=300, blank=True)
    pictures = models.ManyToManyField(AgreedPicture, blank=True, related_name="options")
    pictures_count = models.PositiveSmallIntegerField(default=0)
    discount_percent = models.DecimalField(max_digits=5, decimal_places=2, default=0)
    discount_reason = models.CharField(max_length=120, blank=True)

    class Meta:
        ordering = ["letter"]
        constraints = [models.UniqueConstraint(fields=["estimate", "letter"], name="option_letter_once")]

    def __str__(self) -> str:
        return f"{self.letter}: {self.title}"


class OptionItem(IntendedUse):
    """A further use in an option beside its own, which is the first: each becomes a licence of its own when the option is accepted.

    ``is_optional``: the client may add it; it is a licence only then, and costs what its own line says.
    """

    option = models.ForeignKey(EstimateOption, on_delete=models.CASCADE, related_name="further_items")
    order = models.PositiveSmallIntegerField(default=0)
    is_optional = models.BooleanField(default=False)

    class Meta:
        ordering = ["order", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["option"], condition=Q(is_optional=True), name="one_use_of_an_option_is_optional"
            )
        ]

    def __str__(self) -> str:
        return f"Further use {self.order + 1} of option {self.option_id}"


class LineKind(models.TextChoices):
    PREPARATION = "preparation", "Getting ready"
    SHOOTING_DAY = "shooting_day", "Day on set"
    HALF_DAY = "half_day", "Half day on set"
    OVERTIME = "overtime", "Overtime"
    ASSISTANT = "assistant", "Assistant or kitchen hand"
    STYLIST = "stylist", "Stylist"
    KIT = "kit", "Kit and studio hire"
    TRAVEL = "travel", "Travel"
    FOOD_AND_PROPS = "food_and_props", "Groceries and props"
    FINISHING = "finishing", "Finishing"
    USAGE = "usage", "Licence"
    OTHER = "other", "Other"


class EstimateLine(models.Model):
    """A line with its arithmetic: quantity × rate, and how it came about in words; a fee's factors as data in ``figures`` (``fee_data``).

    ``item``: the optional use this line adds, and goes with. ``finishing``: the kind of finishing a drafted line counts.
    """

    option = models.ForeignKey(EstimateOption, on_delete=models.CASCADE, related_name="lines")
    order = models.PositiveSmallIntegerField(default=0)
    kind = models.CharField(max_length=14, choices=LineKind, default=LineKind.OTHER)
    what = models.CharField(max_length=120)
    working = models.TextField(blank=True)
    figures = models.JSONField(default=dict, blank=True)
    quantity = models.DecimalField(max_digits=14, decimal_places=4, default=1)
    unit = models.CharField(max_length=20, blank=True)
    unit_price = models.DecimalField(max_digits=14, decimal_places=4, default=0)
    own_price = models.DecimalField(max_digits=14, decimal_places=4, null=True, blank=True)  # in the studio's money
    markup_percent = models.DecimalField(max_digits=5, decimal_places=2, default=0)
    is_at_most = models.BooleanField(default=False)
    is_at_cost = models.BooleanField(default=False)
    is_disbursement = models.BooleanField(default=False)
    is_optional = models.BooleanField(default=False)
    is_taken = models.BooleanField(default=True)
    item = models.ForeignKey(OptionItem, null=True, blank=True, on_delete=models.CASCADE, related_name="lines")
    finishing = models.CharField(max_length=9, choices=Finishing, blank=True)

    class Meta:
        ordering = ["order", "pk"]

    def __str__(self) -> str:
        return self.what

    @property
    def key(self) -> str:
        """Names the line where it is shown and where the client ticks it."""
        return str(self.pk)


class ClientQuestion(models.Model):
    """What the client left on the estimate's private page and waits for the photographer: a question, or a yes that could not be taken."""

    class Kind(models.TextChoices):
        ASKED = "asked", "Question"
        STOPPED = "stopped", "Acceptance that was stopped"

    kind = models.CharField(max_length=7, choices=Kind, default=Kind.ASKED)
    estimate = models.ForeignKey(Estimate, on_delete=models.CASCADE, related_name="questions")
    name = models.CharField(max_length=120, blank=True)
    text = models.TextField()
    asked_at = models.DateTimeField()
    answered_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["-asked_at"]


class FeeKind(models.TextChoices):
    CANCELLED = "cancelled", "Cancelled"
    POSTPONED = "postponed", "Postponed"
    WEATHER = "weather", "Postponed for weather"


class CancellationFee(models.Model):
    """What the accepted terms ask for a shoot called off or put off; months bills it once. Nothing to pay is kept as a row of 0."""

    estimate = models.ForeignKey(Estimate, on_delete=models.PROTECT, related_name="cancellation_fees")
    kind = models.CharField(max_length=9, choices=FeeKind)
    percent = models.DecimalField(max_digits=5, decimal_places=2)
    amount_net = models.DecimalField(max_digits=12, decimal_places=2)
    currency = models.CharField(max_length=3, default="EUR")
    working_days_before = models.PositiveSmallIntegerField(default=0)
    was_on = models.DateField()
    reason = models.CharField(max_length=300, blank=True)
    at = models.DateTimeField()
    billed_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["at", "pk"]
        constraints = [models.CheckConstraint(condition=Q(amount_net__gte=0), name="cancellation_fee_is_not_negative")]

    def __str__(self) -> str:
        return f"{self.get_kind_display()}, shoot of {self.was_on}"
