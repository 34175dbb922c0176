from django.db import models

from billing.cards.trying import Case
from shoots.found.models import FoundUse
from shoots.licences.models import Licence


class PricedFee(models.Model):
    """A fee as the card reckoned it when it was handed on to a licence. Rows are only ever added: triggers refuse UPDATE and
    DELETE, but that a draft thrown away leaves its fee without its licence.

    ``licence`` is the one made with it, where that was there already; else it is found by what the fee was reckoned for: the licence that goes
    on or is changed (``of_licence``), or the use found. ``working`` is ``fee_data``, ``parts`` what was reckoned with besides.
    """

    case = models.CharField(max_length=7, choices=[(case.value, case.value) for case in Case])
    licence = models.ForeignKey(Licence, null=True, on_delete=models.SET_NULL, related_name="priced_fees")
    of_licence = models.ForeignKey(Licence, null=True, on_delete=models.PROTECT, related_name="fees_handed_on")
    found = models.ForeignKey(FoundUse, null=True, on_delete=models.PROTECT, related_name="priced_fees")
    fee = models.DecimalField(max_digits=12, decimal_places=2)
    currency = models.CharField(max_length=3)
    pictures = models.PositiveIntegerField()
    months = models.PositiveIntegerField(null=True)
    working = models.JSONField()
    parts = models.JSONField(default=dict)
    card_from = models.DateField(null=True)
    card_sha256 = models.CharField(max_length=64)
    made_at = models.DateTimeField()

    class Meta:
        ordering = ["-made_at", "-pk"]

    def __str__(self) -> str:
        return f"{self.fee} {self.currency}, {self.case}"
