from decimal import Decimal

from django.db import models

from billing.estimates.models import Estimate, EstimateLine
from shared.edits import Edited
from shoots.brief.models import Shoot


class Charge(models.TextChoices):
    NOT = "not", "Not charged on"
    AT_COST = "at_cost", "At cost"
    WITH_MARKUP = "with_markup", "With mark-up"
    DISBURSEMENT = "disbursement", "Paid in the client's name"


class Expense(Edited):
    """Money spent, with its receipt, and whether the client pays it."""

    class Kind(models.TextChoices):
        GROCERIES = "groceries", "Groceries"
        PROPS = "props", "Props and surfaces"
        HIRE = "hire", "Hire"
        PEOPLE = "people", "Assistants and stylists"
        TRAVEL = "travel", "Tickets and parking"
        OFFICE = "office", "Office"
        KIT = "kit", "Kit"
        OTHER = "other", "Other"

    shoot = models.ForeignKey(Shoot, null=True, blank=True, on_delete=models.PROTECT, related_name="expenses")
    kind = models.CharField(max_length=9, choices=Kind, default=Kind.GROCERIES)
    what = models.CharField(max_length=160)
    supplier = models.CharField(max_length=120, blank=True)
    spent_on = models.DateField()
    currency = models.CharField(max_length=3, default="EUR")
    gross = models.DecimalField(max_digits=12, decimal_places=2)
    tax = models.DecimalField(max_digits=12, decimal_places=2, default=0)
    receipt = models.ForeignKey("shared.StoredFile", null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    charge = models.CharField(max_length=12, choices=Charge, default=Charge.NOT)
    markup_percent = models.DecimalField(max_digits=5, decimal_places=2, default=0)
    estimate_line = models.ForeignKey(
        EstimateLine, null=True, blank=True, on_delete=models.PROTECT, related_name="expenses"
    )
    billed_on = models.CharField(max_length=30, blank=True)
    made_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-spent_on", "-pk"]
        constraints = [
            models.CheckConstraint(condition=models.Q(gross__gt=0), name="expense_above_zero"),
            models.CheckConstraint(
                condition=models.Q(tax__gte=0) & models.Q(tax__lt=models.F("gross")), name="expense_tax_within_gross"
            ),
        ]
        indexes = [models.Index(fields=["spent_on", "id"], name="expense_by_day")]

    def __str__(self) -> str:
        return self.what

    @property
    def net(self) -> Decimal:
        return self.gross - self.tax


class Journey(Edited):
    """Own travel: distance, and the dated rate that applied on that day."""

    shoot = models.ForeignKey(Shoot, null=True, blank=True, on_delete=models.PROTECT, related_name="journeys")
    travelled_on = models.DateField()
    from_place = models.CharField(max_length=120)
    to_place = models.CharField(max_length=120)
    distance = models.DecimalField(max_digits=8, decimal_places=1)
    unit = models.CharField(max_length=2, default="km")
    rate_name = models.CharField(max_length=60, blank=True)
    allowance = models.DecimalField(max_digits=12, decimal_places=2, default=0)
    charge = models.CharField(max_length=12, choices=Charge, default=Charge.NOT)
    charge_rate = models.DecimalField(max_digits=8, decimal_places=4, default=0)
    estimate_line = models.ForeignKey(
        EstimateLine, null=True, blank=True, on_delete=models.PROTECT, related_name="journeys"
    )
    billed_on = models.CharField(max_length=30, blank=True)

    class Meta:
        ordering = ["-travelled_on", "-pk"]
        constraints = [models.CheckConstraint(condition=models.Q(distance__gt=0), name="journey_above_zero")]

    def __str__(self) -> str:
        return f"{self.from_place} to {self.to_place}"


class CapRaise(models.Model):
    """A client's yes to more than a cost marked *at most*, asked by private link."""

    class State(models.TextChoices):
        ASKED = "asked", "Asked"
        AGREED = "agreed", "Agreed"
        REFUSED = "refused", "Refused"
        CALLED_BACK = "called_back", "Called back"

    estimate = models.ForeignKey(Estimate, on_delete=models.PROTECT, related_name="cap_raises")
    line = models.ForeignKey(EstimateLine, on_delete=models.PROTECT, related_name="cap_raises")
    amount_net = models.DecimalField(max_digits=12, decimal_places=2)
    why = models.CharField(max_length=300, blank=True)
    state = models.CharField(max_length=11, choices=State, default=State.ASKED)
    asked_at = models.DateTimeField()
    decided_at = models.DateTimeField(null=True, blank=True)
    decided_by = models.CharField(max_length=120, blank=True)

    class Meta:
        ordering = ["-asked_at"]
