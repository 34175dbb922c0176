from django.db import models

from billing.invoices.models import Invoice


class MonthRun(models.Model):
    """One pressing of month-end: which month, by whom, which invoices it issued."""

    month = models.DateField()
    started_at = models.DateTimeField()
    finished_at = models.DateTimeField(null=True, blank=True)
    by = models.CharField(max_length=150, blank=True)
    invoices = models.ManyToManyField(Invoice, blank=True, related_name="month_runs")

    class Meta:
        ordering = ["-started_at"]

    def __str__(self) -> str:
        return f"Month-end {self.month:%Y-%m}"
