from datetime import date
from decimal import Decimal
from typing import Any

from crispy_forms.layout import Layout, Row
from django import forms
from django.utils import timezone

from billing.estimates.models import EstimateLine
from billing.expenses.models import Charge, Expense, Journey
from billing.expenses.queries import currency_on, lines_at_cost
from billing.rates.models import MileageRate
from clients.choices import currency_choices
from shared.addresses import key_in
from shared.business.queries import today
from shared.words.forms import EditedFormMixin, MoneyField, SheetForm, SheetModelForm, show_latest
from shoots.brief.models import Shoot

AN_OLDER_SHOOT = "For an older one begin at its page."
MOST_RECEIPT = "PDF, JPEG or PNG, up to 80 MB."


class ExpenseForm(EditedFormMixin, SheetModelForm):
    """Money spent. The receipt is a photograph or a PDF."""

    receipt_file = forms.FileField(
        label="Receipt",
        required=False,
        help_text=MOST_RECEIPT,
        widget=forms.FileInput({"accept": "application/pdf,image/jpeg,image/png"}),
    )

    currency = forms.ChoiceField(label="Currency", help_text="As the receipt names it.")

    class Meta:
        model = Expense
        fields = [
            "shoot",
            "kind",
            "what",
            "supplier",
            "spent_on",
            "gross",
            "tax",
            "currency",
            "charge",
            "markup_percent",
            "estimate_line",
        ]
        labels = {
            "what": "What was bought", "spent_on": "Day", "gross": "Total on the receipt", "tax": "VAT in it", "charge": "Does the client pay it",
            "markup_percent": "Mark-up in %", "estimate_line": "Under which line of the estimate",
        }  # fmt: skip
        help_texts = {
            "charge": "Your own travel and meals are never paid in the client’s name: ask your accountant what is.",
            "estimate_line": "A line marked at most is never billed above what was agreed without the client’s yes.",
            "gross": "With VAT, as it was paid.",
            "tax": "0 if there is none on it.",
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        # What is posted without one, by a page opened before there was a choice, is in the currency of the books.
        self.fields["currency"].required = not self.is_bound or bool(self.data.get(self.add_prefix("currency")))
        own = self.instance.currency if self.instance.pk else ""
        choices = currency_choices("en")
        self.fields["currency"].choices = choices if own in {"", *dict(choices)} else ((own, own), *choices)
        self.fields["shoot"].queryset = Shoot.objects.only("title")
        self.fields["shoot"].empty_label = "No shoot: a cost of the studio"
        self.fields["tax"].required = self.fields["markup_percent"].required = False
        shoot = self.instance.shoot if self.instance.pk else self.initial.get("shoot")
        shoot_pk = key_in(self.data.get(self.add_prefix("shoot")) or getattr(shoot, "pk", shoot))
        show_latest(self.fields["shoot"], shoot_pk, at=AN_OLDER_SHOOT)
        lines = lines_at_cost(Shoot(pk=shoot_pk)) if shoot_pk is not None else EstimateLine.objects.none()
        self.fields["estimate_line"].queryset = lines
        self.fields["estimate_line"].empty_label = "None: an extra cost"
        self.helper.layout = Layout(
            "version", "what", Row("gross", "tax", "currency", css_class="fields-3"), Row("spent_on", "kind"), "supplier", "receipt_file", "shoot", "charge", Row("markup_percent", "estimate_line")
        )  # fmt: skip

    def clean(self) -> dict[str, Any]:
        typed = super().clean() or {}
        typed["tax"] = typed.get("tax") or Decimal(0)
        typed["markup_percent"] = typed.get("markup_percent") or Decimal(0)
        own = self.instance.currency if self.instance.pk else ""
        typed["currency"] = typed.get("currency") or own or currency_on(typed.get("spent_on") or date.max)
        gross, charge = typed.get("gross"), typed.get("charge")
        if typed.get("spent_on") and typed["spent_on"] > today(timezone.now()):
            self.add_error("spent_on", "This day is still to come. Enter the day on the receipt.")
        if gross is not None and gross <= 0:
            self.add_error(
                "gross",
                "Enter the total of the receipt, above 0. A refund from a shop is recorded with the accountant.",
            )
        elif gross is not None and not 0 <= typed["tax"] < gross:
            self.add_error("tax", "The VAT of a receipt is at least 0 and less than its total.")
        if charge != Charge.NOT and charge and not typed.get("shoot"):
            self.add_error("shoot", "Say for which shoot, so that the right client pays it.")
        if charge == Charge.WITH_MARKUP and not typed["markup_percent"]:
            self.add_error("markup_percent", "Enter the mark-up, for example 15, or charge the cost as it is.")
        if charge == Charge.DISBURSEMENT and typed["markup_percent"]:
            self.add_error(
                "markup_percent", "Money laid out in the client’s name is passed on exactly, without mark-up."
            )
        if typed.get("estimate_line") and charge == Charge.NOT:
            self.add_error(
                "charge", "A cost under a line of the estimate is paid by the client. Choose how, or take the line out."
            )
        elif typed.get("estimate_line") and charge:
            self._check_line(typed["estimate_line"], charge, typed["currency"])
        return typed

    def _check_line(self, line: EstimateLine, charge: str, currency: str) -> None:
        """A line with VAT holds no money laid out in the client's name, and the other way round; and it is in one currency."""
        if line.is_disbursement and charge != Charge.DISBURSEMENT:
            self.add_error(
                "estimate_line",
                f"{line} is money paid in the client’s name, without VAT. Say that this cost is too, or choose another line.",
            )
        elif not line.is_disbursement and charge == Charge.DISBURSEMENT:
            self.add_error(
                "estimate_line",
                f"{line} carries VAT, money paid in the client’s name does not. Choose another line, or none.",
            )
        if line.option.estimate.currency != currency:
            agreed = line.option.estimate.currency
            self.add_error(
                "currency",
                f"{line} was agreed in {agreed}. Enter what the cost came to in {agreed}, so that it can be billed.",
            )

    def what_was_typed(self) -> dict[str, Any]:
        """The fields of the row, as the actions take them."""
        return {name: self.cleaned_data[name] for name in self.Meta.fields}


class JourneyForm(SheetModelForm):
    """Own travel. What it counts for in the books follows from the dated rate."""

    rate_name = forms.ChoiceField(label="Rate in the books", required=False)

    class Meta:
        model = Journey
        fields = ["shoot", "travelled_on", "from_place", "to_place", "distance", "rate_name", "charge", "charge_rate"]
        labels = {
            "travelled_on": "Day", "from_place": "From", "to_place": "To", "distance": "Distance, there and back", "charge": "Does the client pay it",
            "charge_rate": "What the client pays for a km or mile",
        }  # fmt: skip
        help_texts = {"charge_rate": "In the currency of the estimate."}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.units = dict(MileageRate.objects.order_by("name").values_list("name", "unit"))
        self.fields["rate_name"].choices = [
            *((name, f"{name}, per {unit}") for name, unit in self.units.items()),
            ("", "None"),
        ]
        self.fields["shoot"].empty_label = "No shoot"
        self.fields["shoot"].queryset = Shoot.objects.only("title")
        chosen = self.data.get(self.add_prefix("shoot")) or self.initial.get("shoot")
        show_latest(self.fields["shoot"], chosen, at=AN_OLDER_SHOOT)
        self.fields["charge"].choices = [(Charge.NOT, "Not charged on"), (Charge.AT_COST, "At the agreed rate")]
        self.fields["charge_rate"].required = False
        self.helper.layout = Layout(
            "travelled_on",
            Row("from_place", "to_place"),
            Row("distance", "rate_name"),
            "shoot",
            Row("charge", "charge_rate"),
        )

    def clean(self) -> dict[str, Any]:
        typed = super().clean() or {}
        typed["charge_rate"] = typed.get("charge_rate") or Decimal(0)
        if typed.get("distance") is not None and typed["distance"] <= 0:
            self.add_error("distance", "Enter a distance above 0, for example 46.")
        if typed.get("charge") != Charge.NOT:
            if not typed.get("shoot"):
                self.add_error("shoot", "Say for which shoot, so that the right client pays it.")
            if typed["charge_rate"] <= 0:
                self.add_error("charge_rate", "Enter what the client pays for a km or mile, for example 0.42.")
        return typed

    def what_was_typed(self) -> dict[str, Any]:
        """The fields of the row, as the action takes them."""
        return {**self.cleaned_data, "unit": self.units.get(self.cleaned_data["rate_name"], "km")}


class AskForMoreForm(SheetForm):
    amount_net = MoneyField(label="New highest sum before VAT")
    why = forms.CharField(label="Why, in one sentence", max_length=300)


class AnswerForm(SheetForm):
    name = forms.CharField(label="Your full name", max_length=120, widget=forms.TextInput({"autocomplete": "name"}))


class ExpenseFilter(SheetForm):
    text = forms.CharField(label="Search", required=False)
    charge = forms.ChoiceField(label="Paid by", required=False, choices=[("", "All"), *Charge.choices])
