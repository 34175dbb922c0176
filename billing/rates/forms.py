from typing import Any

from crispy_forms.layout import HTML, Fieldset, Layout, Row
from django import forms

from billing.rates.actions import RATE_FIELDS
from billing.rates.models import MileageRate, RateCard
from shared.words.formats import known_currency
from shared.words.forms import EditedFormMixin, SheetModelForm

UNITS = {
    "day_rate": "a day", "half_day_rate": "a half day", "hours_in_day": "hours", "overtime_rate": "an hour", "preparation_rate": "an hour",
    "finishing_rate": "an hour", "finishing_minutes": "minutes", "assistant_rate": "a day", "stylist_rate": "a day", "kit_rate": "a day",
    "km_rate": "a km", "markup_percent": "%", "deposit_percent": "%", "deposit_days": "days", "tolerance_percent": "%", "validity_days": "days",
    "cancellation_free_days": "working days", "cancellation_percent": "%", "cancellation_day_percent": "%", "lapse_days": "days",
}  # fmt: skip
PERCENTAGES = (
    "markup_percent",
    "deposit_percent",
    "tolerance_percent",
    "cancellation_percent",
    "cancellation_day_percent",
)


class RateCardForm(EditedFormMixin, SheetModelForm):
    """The rates and usual terms from a day on."""

    class Meta:
        model = RateCard
        fields = RATE_FIELDS
        labels = {
            "valid_from": "Valid from", "currency": "Currency", "day_rate": "Day on set", "half_day_rate": "Half day on set",
            "hours_in_day": "A day on set has up to", "overtime_rate": "Overtime", "preparation_rate": "Getting ready",
            "finishing_rate": "Finishing and further corrections", "finishing_minutes": "Finishing one picture takes",
            "assistant_rate": "Assistant or kitchen hand", "stylist_rate": "Stylist", "kit_rate": "Kit",
            "km_rate": "Travel", "markup_percent": "Mark-up on costs passed on", "deposit_percent": "Deposit", "deposit_days": "Deposit due after acceptance",
            "tolerance_percent": "An estimate may rise by", "validity_days": "An estimate is valid for", "rounds_included": "Rounds of corrections included",
            "cancellation_free_days": "Cancelling is free until", "cancellation_percent": "After that, of the day rate",
            "cancellation_day_percent": "On the day, of the day rate", "lapse_days": "Use lapses if unpaid after the due date by",
        }  # fmt: skip
        help_texts = {
            "km_rate": "What a client pays for a kilometre, there and back.",
            "kit_rate": "0 if your kit is part of the day rate.",
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name, unit in UNITS.items():
            self.fields[name].widget.unit = unit
        self.helper.layout = Layout(
            Row("valid_from", "currency"),
            Fieldset(
                "Work", Row("day_rate", "half_day_rate"), Row("hours_in_day", "overtime_rate"), Row("preparation_rate", "finishing_rate"),
                Row("finishing_minutes", "assistant_rate"), Row("stylist_rate", "kit_rate"), Row("km_rate", "markup_percent"),
            ),
            Fieldset(
                "Usual terms", HTML('<p class="help">Common practice, no source. Have your terms checked by a licensed adviser.</p>'),
                Row("deposit_percent", "deposit_days"), Row("tolerance_percent", "validity_days"), Row("rounds_included", "lapse_days"),
                Row("cancellation_free_days", "cancellation_percent"), Row("cancellation_day_percent"),
            ),
            "version",
        )  # fmt: skip

    def clean_currency(self) -> str:
        code = self.cleaned_data["currency"].strip().upper()
        if not known_currency(code):
            raise forms.ValidationError("Enter a currency of three letters, for example EUR.")
        return code

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        for name, value in list(cleaned.items()):
            if name.endswith("_rate") and value is not None and value < 0:
                self.add_error(name, "Enter a rate of 0 or more, for example 780.")
        if cleaned.get("day_rate") == 0:
            self.add_error("day_rate", "Enter a day rate above 0, for example 780.")
        if not 0 < (cleaned.get("hours_in_day") or 1) <= 24:
            self.add_error("hours_in_day", "A day on set has more than 0 and up to 24 hours.")
        for name in PERCENTAGES:
            if not 0 <= (cleaned.get(name) or 0) <= 100:
                self.add_error(name, "Enter a percentage from 0 to 100.")
        if (cleaned.get("cancellation_percent") or 0) > (cleaned.get("cancellation_day_percent") or 0):
            self.add_error("cancellation_day_percent", "On the day a cancellation costs at least as much as before.")
        return cleaned


class MileageRateForm(SheetModelForm):
    """A rate for own travel in the books."""

    class Meta:
        model = MileageRate
        fields = ("name", "valid_from", "unit", "rate", "threshold", "rate_above", "source")
        labels = {
            "name": "Vehicle", "valid_from": "Valid from", "unit": "Unit", "rate": "Rate", "threshold": "Lower rate above this distance a year",
            "rate_above": "Rate above it", "source": "Where the rate comes from",
        }  # fmt: skip

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.helper.layout = Layout(
            Row("name", "valid_from"), Row("rate", "unit"), Row("threshold", "rate_above"), "source"
        )

    def validate_unique(self) -> None:
        """The same name and day replaces the rate, so it is no mistake."""

    def validate_constraints(self) -> None:
        """As above."""

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        if (cleaned.get("rate") or 0) < 0 or (cleaned.get("rate_above") or 0) < 0:
            self.add_error("rate", "Enter a rate of 0 or more, for example 0.30.")
        if (cleaned.get("threshold") is None) != (cleaned.get("rate_above") is None):
            self.add_error("threshold", "Enter both the distance and the rate above it, or neither.")
        return cleaned
