from decimal import Decimal
from typing import Any

from crispy_forms.layout import Layout, Row

from billing.earnings.actions import DAY_FIELDS
from billing.earnings.models import WorkedDays
from shared.words.forms import EditedFormMixin, QuantityField, SheetModelForm

MOST_DAYS = 366


class WorkedDaysForm(EditedFormMixin, SheetModelForm):
    """The days really worked on a shoot, by kind."""

    class Meta:
        model = WorkedDays
        fields = DAY_FIELDS
        field_classes = dict.fromkeys(DAY_FIELDS, QuantityField)
        labels = {"on_set": "On set", "preparation": "Getting ready", "finishing": "Finishing"}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in DAY_FIELDS:
            self.fields[name].widget.unit = "days"
            self.fields[name].required = False
        self.helper.layout = Layout(Row(*DAY_FIELDS), "version")

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        for name in DAY_FIELDS:
            if name not in self.errors and cleaned.get(name) is None:
                cleaned[name] = Decimal(0)
            if not 0 <= (cleaned.get(name) or 0) <= MOST_DAYS:
                self.add_error(name, f"Enter days from 0 to {MOST_DAYS}, for example 1.5.")
        if not self.errors and not any(cleaned[name] for name in DAY_FIELDS):
            self.add_error("on_set", "Enter the days you worked. Nobody earns on no day.")
        return cleaned
