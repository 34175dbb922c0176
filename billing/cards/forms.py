from decimal import Decimal
from fractions import Fraction
from typing import Any

from django import forms

from billing.cards.card_file import LARGEST_FILE
from billing.cards.trying import Asked, Case
from billing.rates.fees import CannotPrice, Exclusive, InvalidItem, UseItem
from shared.words.forms import DayField, MoneyField, QuantityField, SegmentSelect, SheetForm
from shoots.uses.forms import UseFields
from shoots.uses.intended import LONGEST_MONTHS


class CardFileForm(SheetForm):
    """A file with rates, chosen on this machine."""

    file = forms.FileField(
        label="File with rates", max_length=200, widget=forms.FileInput(attrs={"accept": ".json,application/json"})
    )

    def content(self) -> bytes:
        """What the file holds, one byte more than is taken at most. Only after a clean form."""
        return bytes(self.cleaned_data["file"].read(LARGEST_FILE + 1))


class TakeForm(SheetForm):
    """The day from which a file counts. It carries the text of the file, and which rates were shown beside it."""

    valid_from = DayField(label="Count from")
    text = forms.CharField(widget=forms.HiddenInput, strip=False, max_length=LARGEST_FILE)
    seen = forms.CharField(widget=forms.HiddenInput, required=False, max_length=40)

    def clean_text(self) -> str:
        return str(self.cleaned_data["text"]).replace("\r\n", "\n")

    def shown_again(self, **values: Any) -> "TakeForm":
        """The form by what stands on the page now, its mistakes kept."""
        self.data = {**self.data.dict(), **values}
        return self


MOST_PICTURES = 100_000
CASES = (
    (Case.NEW, "A new use"),
    (Case.CHANGE, "A change"),
    (Case.RENEWAL, "A renewal"),
    (Case.FOUND, "A use found"),
)
FIELD_OF_ITEM = {"classes": "use_classes", "media": "use_media", "territories": "use_places", "months": "use_months", "use_from": "use_from", "copies": "use_copies", "exclusive_months": "exclusive_months"}  # fmt: skip


class TryFeeForm(UseFields, SheetForm):
    """A use in the words of a licence, and why its fee is asked for."""

    licence = forms.IntegerField(
        required=False, widget=forms.HiddenInput
    )  # whose fee it is, where the page was opened from one
    found = forms.IntegerField(required=False, widget=forms.HiddenInput)
    case = forms.ChoiceField(label="What is priced", choices=CASES, initial=Case.NEW, widget=SegmentSelect)
    pictures = forms.IntegerField(label="Pictures", min_value=1, max_value=MOST_PICTURES, initial=1)
    use_from = DayField(label="First day of use")
    agreed_fee = MoneyField(
        label="Fee agreed then", required=False, min_value=0, max_digits=10, help_text="For a change of a use that is licensed already."
    )  # fmt: skip
    more_months = forms.IntegerField(
        label="Renewed for, months", required=False, min_value=1, max_value=LONGEST_MONTHS, help_text="For a renewal. Empty: as long as before."
    )  # fmt: skip
    late_factor = QuantityField(
        label="Times, for asking late", required=False, min_value=1, max_value=100, initial=Decimal(1),
        help_text="For a use found. 1 or more; common practice, no source. What the law gives beyond a licence is for your lawyer.",
    )  # fmt: skip

    def clean(self) -> dict[str, Any]:
        found = super().clean()
        if found.get("case") == Case.CHANGE and found.get("agreed_fee") is None and "agreed_fee" not in self.errors:
            self.add_error("agreed_fee", "Enter what was agreed for the use so far, 0 if nothing was.")
        return found

    def asked(self) -> Asked:
        """What is priced. Only after a clean form. Raises InvalidItem."""
        use, typed = self.use_values(), self.cleaned_data
        item = UseItem(
            frozenset(use["use_classes"]), frozenset(use["use_media"]), frozenset(use["use_territories"]), typed["use_from"], use["use_months"],
            use["use_copies"], Exclusive(use["exclusivity"]), use["exclusive_months"],
        )  # fmt: skip
        return Asked(
            Case(typed["case"]), typed["pictures"], item, typed["agreed_fee"] or Decimal(0), typed["more_months"] or item.months,
            Fraction(typed["late_factor"] or 1),
        )  # fmt: skip

    def say_unpriced(self, wrong: CannotPrice | InvalidItem) -> None:
        """Why there is no fee, under the field it is about."""
        name = "use_copies" if isinstance(wrong, CannotPrice) else FIELD_OF_ITEM.get(wrong.field)
        self.add_error(name, str(wrong))
