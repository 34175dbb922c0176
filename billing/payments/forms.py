from decimal import Decimal
from typing import Any

from django import forms

from shared.words.forms import DayField, MoneyField, SegmentSelect, SheetForm

RECEIVED, PAID_BACK = "received", "paid_back"


class PaymentForm(SheetForm):
    """A sum, its day, and which way it went."""

    amount = MoneyField(label="Sum", min_value=Decimal("0.01"))
    received_on = DayField(label="Day it was booked")
    way = forms.ChoiceField(
        label="Which way",
        choices=[(RECEIVED, "Received"), (PAID_BACK, "Paid back")],
        initial=RECEIVED,
        widget=SegmentSelect,
    )
    note = forms.CharField(label="Note", required=False, max_length=200)

    def received(self) -> dict[str, Any]:
        """What was typed, as ``record_payment`` takes it."""
        typed = self.cleaned_data
        sign = -1 if typed["way"] == PAID_BACK else 1
        return {"amount": sign * typed["amount"], "received_on": typed["received_on"], "note": typed["note"]}
