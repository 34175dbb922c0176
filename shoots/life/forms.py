from collections.abc import Mapping
from datetime import date, timedelta
from typing import Any

from django import forms

from shared.words.forms import DayField, MoneyField, SheetForm
from shoots.licences.forms import TickedPictures, last_day_before_the_calendars
from shoots.licences.models import Licence
from shoots.life.queries import changes_of, pictures_to_change_to
from shoots.uses.forms import EMPTY, TERMS, UseFields
from shoots.uses.intended import ENDLESS, copies_as_asked


class RenewForm(SheetForm):
    months = forms.TypedChoiceField(
        label="For how long",
        choices=TERMS,
        coerce=lambda each: None if each == ENDLESS else int(each),
        empty_value=None,
    )
    fee_net = MoneyField(label="Fee before VAT", min_value=0)
    first_day = DayField(
        label="First day, if later", required=False, help_text="Empty: the day after the last one, without a gap."
    )
    write_to_client = forms.BooleanField(label="Write to the client by e-mail", required=False, initial=True)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        months = self.initial.get("months")
        if months and str(months) not in dict(TERMS):  # a length that was priced
            self.fields["months"].choices = [
                (str(months), f"{months} month{'' if str(months) == '1' else 's'}"),
                *TERMS,
            ]


class ChangeForm(UseFields, TickedPictures):
    """What the client is to hold instead, filled in with what is held now. What is chosen says which move it is."""

    last_day = DayField(label="Last day of use", required=False, help_text="Empty: without end.")
    fee_net = MoneyField(
        label="Fee before VAT", min_value=0, required=False, help_text="Empty where a part is only given up: no money goes back."
    )  # fmt: skip
    order_number = forms.CharField(label="Order number", max_length=60, required=False)
    accepted_by = forms.CharField(label="Who said yes for the client", max_length=120)
    signed_by = forms.CharField(
        label="Sign an exclusive licence with your full name", max_length=120, required=False,
        help_text="Not needed where a part is given up or copies are added.",
    )  # fmt: skip
    write_to_client = forms.BooleanField(label="Write to the client by e-mail", required=False, initial=True)

    def __init__(
        self, *args: Any, licence: Licence, on: date, deed: str = "", handed: Mapping[str, Any] | None = None, **kwargs: Any
    ) -> None:  # fmt: skip
        """``handed``: the use, last day and fee that were priced for it."""
        priced = dict(handed or {})
        held = {name: getattr(licence, name) for name in EMPTY}
        held["use_copies"] = copies_as_asked(licence.use_copies, licence.use_media)
        held |= priced.pop("use", {})
        start = {"last_day": licence.last_day, "pictures": [picture.pk for picture in licence.pictures.all()], **priced}
        super().__init__(*args, shoot=licence.shoot, use={**held, "use_months": None, "exclusive_months": None}, use_on=on, initial=start, **kwargs)  # fmt: skip
        self.licence, self.deed, self.first_day = licence, deed, max(on, licence.use_from or on)
        self.fields["pictures"].queryset = pictures_to_change_to(licence)
        for name in ("use_months", "exclusive_months"):
            self.fields[name].required = False  # the last day says it, and what is exclusive stays so as long as it was
        if deed != "change":
            self.fields["accepted_by"].required = False

    def clean_last_day(self) -> date | None:
        day = last_day_before_the_calendars(self.cleaned_data["last_day"])
        if day is not None and day < self.first_day:
            raise forms.ValidationError(
                "The last day lies before the first. Enter a day from today on; to end it sooner, revoke it."
            )
        return day

    def use_values(self) -> dict[str, Any]:
        """The fields as a licence has them: without a limit, copies are None."""
        values = super().use_values()
        return values | {"use_copies": values["use_copies"] or None}

    def clean(self) -> dict[str, Any]:
        typed = super().clean()
        if self._use is None or not {"pictures", "last_day"} <= typed.keys():
            return typed
        changes = changes_of(self.licence, self.use_values(), typed["pictures"], typed["last_day"])
        if not changes.names:
            self.add_error(None, "Nothing is changed yet. Choose what the client is to hold instead.")
        if (
            self.deed == "change"
            and not changes.is_part
            and typed.get("fee_net") is None
            and "fee_net" not in self.errors
        ):
            self.add_error("fee_net", "Enter the fee for what is added; 0 if it is free.")
        if changes.is_part and typed.get("fee_net"):
            self.add_error("fee_net", "Here a part is only given up: nothing is charged and nothing paid back. Leave the fee empty.")  # fmt: skip
        self.changes = changes
        return typed


class RevokeForm(SheetForm):
    last_day = DayField(label="Last day of use")
    reason = forms.CharField(label="Reason", max_length=300)

    def __init__(self, *args: Any, licence: Licence, on: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.licence, self.on = licence, on

    def clean_last_day(self) -> date:
        day: date = self.cleaned_data["last_day"]
        last_day_before_the_calendars(day)
        end = self.licence.use_until
        if day < self.on - timedelta(days=1) or (end is not None and day >= end - timedelta(days=1)):
            raise forms.ValidationError("Enter a day from yesterday on, before the licence ends by itself.")
        return day
