from decimal import Decimal

from django.db import models
from django.db.models import Q

from billing.estimates.models import Estimate, EstimateLine
from billing.expenses.models import Expense, Journey
from clients.models import Client
from shared.business.models import Language
from shoots.brief.models import Shoot
from shoots.licences.models import Licence

# SQLite adds decimals as binary fractions: 0.1 + 0.2 is not 0.3 there. A tenth of a cent either way is no cent.
HAIR = Decimal("0.001")


def _adds_up(name: str, whole: models.F | models.expressions.CombinedExpression) -> Q:
    return Q(**{f"{name}__gte": whole - HAIR, f"{name}__lte": whole + HAIR})


class Invoice(models.Model):
    """An issued paper: numbered, frozen, never edited. What is paid follows from payments and credit notes."""

    class Kind(models.TextChoices):
        INVOICE = "invoice", "Invoice"
        DEPOSIT = "deposit", "Deposit invoice"
        CREDIT_NOTE = "credit_note", "Credit note"

    number = models.CharField(max_length=30, unique=True)
    kind = models.CharField(max_length=11, choices=Kind, default=Kind.INVOICE)
    job_key = models.CharField(max_length=60)
    is_cancelled = models.BooleanField(default=False)
    client = models.ForeignKey(Client, on_delete=models.PROTECT, related_name="invoices")
    shoot = models.ForeignKey(Shoot, null=True, blank=True, on_delete=models.PROTECT, related_name="invoices")
    estimate = models.ForeignKey(Estimate, null=True, blank=True, on_delete=models.PROTECT, related_name="invoices")
    licence = models.ForeignKey(Licence, null=True, blank=True, on_delete=models.PROTECT, related_name="invoices")
    corrects = models.ForeignKey("self", null=True, blank=True, on_delete=models.PROTECT, related_name="credit_notes")
    issued_on = models.DateField()
    due_on = models.DateField()
    language = models.CharField(max_length=5, choices=Language, default=Language.ENGLISH)
    currency = models.CharField(max_length=3, default="EUR")
    net = models.DecimalField(max_digits=12, decimal_places=2)
    tax = models.DecimalField(max_digits=12, decimal_places=2)
    gross = models.DecimalField(max_digits=12, decimal_places=2)
    prepaid = models.DecimalField(max_digits=12, decimal_places=2, default=0)
    to_pay = models.DecimalField(max_digits=12, decimal_places=2)
    reference = models.CharField(max_length=30, blank=True)
    order_number = models.CharField(max_length=60, blank=True)
    snapshot = models.JSONField(default=dict)
    paper = models.ForeignKey("shared.StoredFile", null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    issued_at = models.DateTimeField()
    sent_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["-issued_on", "-number"]
        constraints = [
            models.UniqueConstraint(fields=["job_key"], condition=Q(is_cancelled=False), name="job_billed_once"),
            models.CheckConstraint(
                condition=_adds_up("gross", models.F("net") + models.F("tax")), name="gross_is_net_and_tax"
            ),
            models.CheckConstraint(
                condition=_adds_up("to_pay", models.F("gross") - models.F("prepaid")),
                name="to_pay_is_gross_less_prepaid",
            ),
            models.CheckConstraint(
                condition=Q(kind="credit_note", corrects__isnull=False)
                | (~Q(kind="credit_note") & Q(corrects__isnull=True)),
                name="credit_note_names_its_invoice",
            ),
        ]
        indexes = [
            models.Index(fields=["issued_on", "number"], name="invoice_by_day"),
            models.Index(fields=["sent_at"], name="invoice_by_sending"),
        ]

    def __str__(self) -> str:
        return self.number


class InvoiceLine(models.Model):
    """A line as issued."""

    invoice = models.ForeignKey(Invoice, on_delete=models.PROTECT, related_name="lines")
    order = models.PositiveSmallIntegerField()
    what = models.CharField(max_length=160)
    working = models.TextField(blank=True)
    quantity = models.DecimalField(max_digits=14, decimal_places=4)
    unit = models.CharField(max_length=20, blank=True)
    unit_price = models.DecimalField(max_digits=14, decimal_places=4)
    net = models.DecimalField(max_digits=12, decimal_places=2)
    tax_category = models.CharField(max_length=2)
    tax_percent = models.DecimalField(max_digits=5, decimal_places=2)
    estimate_line = models.ForeignKey(
        EstimateLine, null=True, blank=True, on_delete=models.PROTECT, related_name="invoice_lines"
    )
    expense = models.ForeignKey(Expense, null=True, blank=True, on_delete=models.PROTECT, related_name="invoice_lines")
    journey = models.ForeignKey(Journey, null=True, blank=True, on_delete=models.PROTECT, related_name="invoice_lines")

    class Meta:
        ordering = ["order"]
        constraints = [models.UniqueConstraint(fields=["invoice", "order"], name="line_order_once")]
