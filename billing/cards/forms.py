from collections.abc import Iterable
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any

from django import forms
from django.http import QueryDict

from billing.cards.card_file import LARGEST_FILE
from billing.cards.trying import Asked, Case
from billing.rates.fees import MOST_ITEMS, CannotPrice, Exclusive, InvalidItem, UseItem, copies_priced
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

    def asked(self, further: Iterable["FurtherUseForm"] = ()) -> Asked:
        """What is priced, with the uses of further forms. Only after clean forms. Raises InvalidItem."""
        typed = self.cleaned_data
        item = _item(self, typed["use_from"])
        return Asked(
            Case(typed["case"]), typed["pictures"], item, typed["agreed_fee"] or Decimal(0), typed["more_months"] or item.months,
            Fraction(typed["late_factor"] or 1), tuple(_item(each, each.cleaned_data["use_from"] or typed["use_from"]) for each in further),
        )  # fmt: skip

    def say_unpriced(self, wrong: CannotPrice | InvalidItem) -> None:
        """Why there is no fee, under the field it is about."""
        name = "use_copies" if isinstance(wrong, CannotPrice) else FIELD_OF_ITEM.get(wrong.field)
        self.add_error(name, str(wrong))


class FurtherUseForm(UseFields, SheetForm):
    """One more use priced together with the first."""

    use_from = DayField(label="First day of use", required=False, help_text="Empty: as the first use.")

    @property
    def number(self) -> int:
        return int(str(self.prefix).removeprefix("u"))


def further_forms(query: QueryDict, *, on: date) -> list[FurtherUseForm]:
    """The forms of the uses beside the first that an address asks for; one just added is not filled in yet."""
    forms_ = []
    for number in range(2, uses_asked(query) + 1):
        is_sent = any(name.startswith(f"u{number}-") for name in query)
        forms_.append(FurtherUseForm(query if is_sent else None, use_on=on, prefix=f"u{number}"))
    return forms_


def uses_asked(query: QueryDict) -> int:
    """How many uses an address asks for, 1 to 6."""
    text = query.get("uses", "1")
    return min(max(int(text), 1), MOST_ITEMS) if text.isdecimal() and len(text) < 3 else 1


def with_other_uses(query: QueryDict, deed: str) -> QueryDict:
    """The address with one more use (``add``), or without the one of a number (``remove:3``); later ones move up."""
    count, changed = uses_asked(query), query.copy()
    del changed["do"]
    kind, _, text = deed.partition(":")
    if kind == "add" and count < MOST_ITEMS:
        changed["uses"] = str(count + 1)
    elif kind == "remove" and text.isdecimal() and 2 <= int(text) <= count:
        gone = int(text)
        for name in [name for name in changed if name[:1] == "u" and name[1:2].isdigit() and name[2:3] == "-"]:
            number = int(name[1])
            if number >= gone:
                values = changed.pop(name)
                if number > gone:
                    changed.setlist(f"u{number - 1}{name[2:]}", values)
        changed["uses"] = str(count - 1)
    return changed


def _item(form: UseFields, use_from: date) -> UseItem:
    use = form.use_values()
    return UseItem(
        frozenset(use["use_classes"]), frozenset(use["use_media"]), frozenset(use["use_territories"]), use_from, use["use_months"],
        copies_priced(use["use_copies"]), Exclusive(use["exclusivity"]), use["exclusive_months"],
    )  # fmt: skip
