from collections.abc import Iterable
from datetime import date
from typing import Any

from django import forms
from django.forms import BaseInlineFormSet, inlineformset_factory

from billing.estimates.models import Estimate, EstimateLine, EstimateOption, LineKind
from shared.words.formats import has_cents, known_currency
from shared.words.forms import DayField, EditedFormMixin, SheetForm, SheetModelForm
from shoots.brief.models import AgreedPicture, Shoot
from shoots.uses.forms import UseFields

UNITS = (
    ("day", "days"), ("half_day", "half days"), ("hour", "hours"), ("picture", "pictures"), ("piece", "pieces"), ("kilometre", "km"),
    ("mile", "miles"), ("", "in all"),
)  # fmt: skip
PERCENTAGES = ("tolerance_percent", "deposit_percent", "cancellation_percent", "cancellation_day_percent")


class EstimateForm(EditedFormMixin, SheetModelForm):
    """What holds for all options: promise, begin of use, terms, validity."""

    class Meta:
        model = Estimate
        fields = (
            "opening", "language", "promise", "tolerance_percent", "begins", "begins_on", "lapse_days", "deposit_percent", "deposit_days",
            "rounds_included", "further_round_rate", "cancellation_free_days", "cancellation_percent", "cancellation_day_percent",
            "is_weather_free_once", "overtime_rate", "hours_in_day", "day_rate", "billable_when", "portfolio_from", "further_terms", "valid_until",
        )  # fmt: skip
        widgets = {"promise": forms.RadioSelect, "begins": forms.RadioSelect, "billable_when": forms.RadioSelect}
        labels = {
            "opening": "First words to the client", "language": "Language of the paper", "promise": "Price", "tolerance_percent": "It may rise by",
            "begins": "Use may begin", "begins_on": "On this day", "lapse_days": "Lapses if unpaid after the due date by", "deposit_percent": "Deposit",
            "deposit_days": "Due after acceptance", "rounds_included": "Rounds of corrections included", "further_round_rate": "Further rounds",
            "cancellation_free_days": "Cancelling or postponing is free until", "cancellation_percent": "After that, of the day rate",
            "cancellation_day_percent": "On the day, of the day rate", "is_weather_free_once": "Postponing once for weather is free",
            "overtime_rate": "Overtime", "hours_in_day": "After", "day_rate": "Day rate for repeats and cancelling", "billable_when": "The balance is billed",
            "portfolio_from": "I may show the pictures in my portfolio from", "further_terms": "Further terms", "valid_until": "Valid until",
        }  # fmt: skip

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        units = {
            "tolerance_percent": "%", "lapse_days": "days", "deposit_percent": "%", "deposit_days": "days", "further_round_rate": "an hour",
            "cancellation_free_days": "working days", "cancellation_percent": "%", "cancellation_day_percent": "%", "overtime_rate": "an hour",
            "hours_in_day": "hours on set", "day_rate": "a day",
        }  # fmt: skip
        for name, unit in units.items():
            self.fields[name].widget.unit = unit
        self.fields["opening"].widget.attrs["rows"] = 3

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        for name in PERCENTAGES:
            if not 0 <= (cleaned.get(name) or 0) <= 100:
                self.add_error(name, "Enter a percentage from 0 to 100.")
        for name in ("further_round_rate", "overtime_rate", "day_rate"):
            if (cleaned.get(name) or 0) < 0:
                self.add_error(name, "Enter a rate of 0 or more, for example 120.")
        if not 0 < (cleaned.get("hours_in_day") or 1) <= 24:
            self.add_error("hours_in_day", "A day on set has more than 0 and up to 24 hours.")
        if (cleaned.get("cancellation_percent") or 0) > (cleaned.get("cancellation_day_percent") or 0):
            self.add_error("cancellation_day_percent", "On the day a cancellation costs at least as much as before.")
        if cleaned.get("begins") == "on_date" and not cleaned.get("begins_on"):
            self.add_error("begins_on", "Enter the day from which the pictures may be used.")
        return cleaned


class OptionForm(UseFields, SheetModelForm):
    """One option: its name, pictures, use and discount."""

    class Meta:
        model = EstimateOption
        fields = ("title", "summary", "pictures_count", "pictures", "discount_percent", "discount_reason")
        widgets = {"pictures": forms.CheckboxSelectMultiple, "summary": forms.Textarea(attrs={"rows": 3})}
        labels = {
            "title": "Name of the option", "summary": "What sets it apart", "pictures_count": "Number of pictures", "pictures": "Pictures in it",
            "discount_percent": "Discount", "discount_reason": "Reason for the discount",
        }  # fmt: skip

    def __init__(self, *args: Any, shoot: Shoot, pictures: Iterable[AgreedPicture], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.shoot = shoot
        field = self.fields["pictures"]
        field.queryset = AgreedPicture.objects.filter(shoot=shoot).exclude(state=AgreedPicture.State.LEFT_OUT)
        field.choices = [(picture.pk, picture.title) for picture in pictures]
        self.fields["discount_percent"].widget.unit = "%"

    def edited(self) -> EstimateOption:
        """The option with what was typed, its use in codes. Only after a clean form."""
        for name, value in self.use_values().items():
            setattr(self.instance, name, value)
        return self.instance

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        percent = cleaned.get("discount_percent")
        if percent is not None and not 0 <= percent <= 100:
            self.add_error("discount_percent", "Enter a discount from 0 to 100 per cent.")
        if percent and not (cleaned.get("discount_reason") or "").strip():
            self.add_error("discount_reason", "Say what the discount is for. The client reads it.")
        ticked = len(cleaned.get("pictures") or ())
        if ticked > (cleaned.get("pictures_count") or 0):
            self.add_error("pictures_count", f"{ticked} pictures are ticked below. Enter {ticked} or more.")
        return cleaned


class ItemForm(UseFields, SheetForm):
    """A further use of an option, new or changed in place."""

    is_optional = forms.BooleanField(
        label="The client may add this use (optional)", required=False,
        help_text="It gets a line of its own with what it adds to the fee. Not added, nothing of it is granted.",
    )  # fmt: skip


class LineForm(SheetModelForm):
    """A line: quantity × rate."""

    class Meta:
        model = EstimateLine
        fields = (
            "kind", "what", "working", "quantity", "unit", "unit_price", "markup_percent", "is_at_most", "is_at_cost", "is_disbursement", "is_optional",
        )  # fmt: skip
        labels = {
            "kind": "Kind", "what": "What", "working": "How the sum comes about", "quantity": "How much", "unit": "Unit", "unit_price": "Rate",
            "markup_percent": "Mark-up", "is_at_most": "Never more than this (at most)", "is_at_cost": "Passed on at cost",
            "is_disbursement": "Paid in the client’s name, no VAT (disbursement)", "is_optional": "The client may add this line (optional)",
        }  # fmt: skip

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        unit = self.instance.unit if self.instance.pk else ""
        known = [code for code, _name in UNITS]
        choices = [*UNITS, *([(unit, unit)] if unit not in known else [])]
        self.fields["unit"] = forms.ChoiceField(
            choices=choices, required=False, label="Unit", widget=forms.Select(attrs={"class": "in"})
        )
        self.fields["markup_percent"].widget.unit = "%"
        self.fields["markup_percent"].required = False

    def clean_markup_percent(self) -> Any:
        percent = self.cleaned_data["markup_percent"] or 0
        if not 0 <= percent <= 100:
            raise forms.ValidationError("Enter a mark-up from 0 to 100 per cent.")
        return percent

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        if (cleaned.get("quantity") or 0) < 0:
            self.add_error("quantity", "Enter a quantity of 0 or more, for example 1.")
        if (cleaned.get("unit_price") or 0) < 0:
            self.add_error("unit_price", "Enter a rate of 0 or more. A discount has its own place below the lines.")
        if self.instance.item_id and not (cleaned.get("is_optional") and cleaned.get("kind") == LineKind.USAGE):
            self.add_error(
                "is_optional",
                "This line is a use that the client may add. Make it part of the option, or take it off, under Further uses.",
            )
        elif cleaned.get("is_optional") and cleaned.get("kind") == LineKind.USAGE and not self.instance.item_id:
            self.add_error(
                "is_optional",
                "The licence of an option is part of it. Name a use that the client may add under Further uses.",
            )
        if cleaned.get("is_disbursement") and cleaned.get("markup_percent"):
            self.add_error(
                "markup_percent", "What is paid in the client’s name is passed on as it is, without a mark-up."
            )
        return cleaned


class LinesFormSet(BaseInlineFormSet):
    """The lines of one option, with an empty one at the end."""

    def get_queryset(self) -> Any:
        """The option's own lines, which the page has read already: Django would read them once a line."""
        return list(self.instance.lines.all())

    def edited(self) -> list[EstimateLine]:
        """The lines as typed, in order, without those to remove."""
        kept = [
            form for form in self.forms if form not in self.deleted_forms and (form.instance.pk or form.has_changed())
        ]
        return [form.instance for form in kept]

    def removed(self) -> list[int]:
        """The lines to remove."""
        return [form.instance.pk for form in self.deleted_forms if form.instance.pk]


LineForms = inlineformset_factory(
    EstimateOption,
    EstimateLine,
    form=LineForm,
    formset=LinesFormSet,
    extra=1,
    can_delete=True,
    max_num=60,
    validate_max=True,
)


class CurrencyForm(SheetForm):
    """The money the client is offered in, and the dated rate it is reckoned with."""

    currency = forms.CharField(
        label="Currency of the estimate", min_length=3, max_length=3, help_text="Three letters: CHF, SEK, GBP."
    )
    rate = forms.DecimalField(label="Rate", max_digits=18, decimal_places=8, required=False)
    rate_on = DayField(label="Rate of", required=False)
    source = forms.CharField(
        label="Where the rate is from",
        max_length=160,
        required=False,
        help_text="The client reads it: a central bank’s reference rate, your bank.",
    )

    def __init__(self, *args: Any, own: str, on: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.own, self.on = own, on
        self.fields["rate"].help_text = f"How much of it one {own} buys."

    def clean_currency(self) -> str:
        currency = str(self.cleaned_data["currency"]).upper()
        if not known_currency(currency):
            raise forms.ValidationError(f"{currency} is no currency we know. Enter its three letters: EUR, CHF, SEK.")
        if not has_cents(currency):
            raise forms.ValidationError(
                f"{currency} has no cents, and sums here are reckoned to the cent. Offer it in another currency."
            )
        return currency

    def clean(self) -> dict[str, Any]:
        given = super().clean() or self.cleaned_data
        if given.get("currency") == self.own:
            return {**given, "rate": None, "rate_on": None, "source": ""}
        rate, rate_on = given.get("rate"), given.get("rate_on")
        if "rate" not in self.errors and (rate is None or not 0 < rate < 1_000_000):
            self.add_error("rate", f"Enter how much one {self.own} buys, more than 0 and below a million.")
        if "rate_on" not in self.errors and (rate_on is None or rate_on > self.on):
            self.add_error("rate_on", "Enter the day of the rate, today at the latest.")
        if not (given.get("source") or "").strip():
            self.add_error("source", "Say where the rate is from. The client reads it.")
        return given
