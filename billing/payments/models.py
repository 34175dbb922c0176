from django.db import models
from django.db.models import Q

from billing.invoices.models import Invoice


class Payment(models.Model):
    """Money received for an invoice. A mistake is undone by a second row of the opposite amount, never edited."""

    invoice = models.ForeignKey(Invoice, on_delete=models.PROTECT, related_name="payments")
    received_on = models.DateField()
    amount = models.DecimalField(max_digits=12, decimal_places=2)
    note = models.CharField(max_length=200, blank=True)
    undoes = models.OneToOneField("self", null=True, blank=True, on_delete=models.PROTECT, related_name="undone_by")
    recorded_at = models.DateTimeField()
    recorded_by = models.CharField(max_length=150, blank=True)

    class Meta:
        ordering = ["received_on", "pk"]
        constraints = [models.CheckConstraint(condition=~Q(amount=0), name="payment_not_zero")]
        indexes = [models.Index(fields=["received_on", "id"], name="payment_by_day")]


class Reminder(models.Model):
    """A reminder sent for a late invoice."""

    invoice = models.ForeignKey(Invoice, on_delete=models.PROTECT, related_name="reminders")
    step = models.PositiveSmallIntegerField()
    sent_at = models.DateTimeField()

    class Meta:
        ordering = ["step"]
        constraints = [models.UniqueConstraint(fields=["invoice", "step"], name="reminder_step_once")]
