from collections.abc import Mapping
from datetime import date, timedelta
from typing import Any

from django import forms

from clients.forms import TradeFields
from clients.models import Client
from clients.queries import clients_to_choose
from shared.words.forms import ChoiceCards, DayField, MoneyField, SheetForm
from shoots.brief.models import Exclusivity, Shoot
from shoots.licences.models import Begins, Licence
from shoots.licences.queries import changes_of, pictures_to_change_to, pictures_to_tick
from shoots.pictures.models import Picture
from shoots.uses.forms import EMPTY, TERMS, UseFields
from shoots.uses.intended import ENDLESS, MOST_COPIES, copies_as_asked

STATES = [
    ("", "All"), ("ending", "Ending within 60 days"), ("running", "Running"), ("coming", "Beginning later"), ("draft", "Drafts"), ("offered", "Offered"),
    ("unplaced", "Agreed, not placed"), ("ended", "Ended"), ("off", "Declined or refunded"),
]  # fmt: skip
BEGINS = [(Begins.ON_PAYMENT, "When the fee is paid"), (Begins.ON_DATE, "On the first day, paid or not")]


class LicenceFilter(SheetForm):
    text = forms.CharField(required=False, max_length=80, label="Search", widget=forms.SearchInput())
    state = forms.ChoiceField(required=False, label="State", choices=STATES)
    client = forms.ModelChoiceField(
        required=False, label="Client", queryset=Client.objects.only("name"), empty_label="Any client"
    )


def last_day_before_the_calendars(day: date | None) -> date | None:
    """A last day of use that has a day after it. Raises ValidationError for 31 December 9999, which stands for "without end"."""
    if day == date.max:
        raise forms.ValidationError("The calendar ends on that day. Choose an earlier one, or a licence without end.")
    return day


class TickedPictures(SheetForm):
    """Pictures of a shoot, ticked under their frames."""

    pictures = forms.ModelMultipleChoiceField(
        queryset=None, error_messages={"required": "No picture is ticked. Tick the pictures that the client may use."}
    )

    def __init__(self, *args: Any, shoot: Shoot | None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["pictures"].queryset = pictures_to_tick(shoot) if shoot else Picture.objects.none()

    @property
    def ticked(self) -> set[str]:
        """The keys that stand ticked, as text."""
        value = self["pictures"].value() or []
        return {str(getattr(each, "pk", each)) for each in value}


class GrantForm(TradeFields, UseFields, TickedPictures):
    """A licence on pictures that are there: to whom, for what, from when, for how much."""

    trade_label, no_trade = "Their trade for this use", "That of the client"
    trade_help = "A licence exclusive in a trade shuts out firms of the same trade. Not known at all, it counts as any."
    licensee = forms.ModelChoiceField(label="Who may use them", queryset=Client.objects.none(), empty_label="Choose")
    first_day = DayField(label="First day of use")
    last_day = DayField(
        label="Last day of use, if no whole months", required=False, help_text="Empty: as long as chosen above."
    )
    embargo_until = DayField(label="Not shown before", required=False, help_text="A first publication, for example.")
    begins = forms.ChoiceField(label="Use may begin", choices=BEGINS, widget=ChoiceCards, initial=Begins.ON_PAYMENT)
    fee_net = MoneyField(label="Fee before VAT", min_value=0)
    credit_line = forms.CharField(label="Credit line", max_length=120, required=False)
    order_number = forms.CharField(label="Order number", max_length=60, required=False)
    accepted_by = forms.CharField(
        label="Who said yes for the client", max_length=120, required=False, help_text="Needed to grant, not to offer."
    )
    signed_by = forms.CharField(
        label="Sign the exclusive licence with your full name", max_length=120, required=False,
        help_text="An exclusive licence needs the photographer’s own signature in several countries. Typed, it is a simple electronic signature.",
    )  # fmt: skip
    write_to_client = forms.BooleanField(label="Write to the client by e-mail", required=False, initial=True)

    def __init__(self, *args: Any, deed: str = "", **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.deed = deed
        self.fields["licensee"].queryset = clients_to_choose()

    def clean_last_day(self) -> date | None:
        return last_day_before_the_calendars(self.cleaned_data["last_day"])

    def clean(self) -> dict[str, Any]:
        typed = super().clean()
        if self.deed == "grant" and not typed.get("accepted_by"):
            self.add_error("accepted_by", "Say who agreed for the client, or send it as an offer.")
        if self.deed == "grant" and typed.get("exclusivity") != Exclusivity.NONE and not typed.get("signed_by"):
            self.add_error("signed_by", "An exclusive licence needs your own signature. Type your full name.")
        if typed.get("last_day") and typed.get("first_day") and typed["last_day"] < typed["first_day"]:
            self.add_error("last_day", "The last day lies before the first. Enter a day on or after it.")
        if typed.get("embargo_until") and typed.get("last_day") and typed["embargo_until"] > typed["last_day"]:
            self.add_error("embargo_until", "The licence ends before that. Enter a day up to its last one.")
        return typed

    def terms(self) -> dict[str, Any]:
        """What was chosen, as ``offer_licence`` takes it."""
        same = (
            "licensee", "trade", "first_day", "last_day", "embargo_until", "begins", "fee_net", "credit_line", "order_number", "write_to_client",
        )  # fmt: skip
        chosen = {name: self.cleaned_data[name] for name in same}
        return {**chosen, "pictures": list(self.cleaned_data["pictures"]), "use": self.use_values()}


class GrantCheckForm(GrantForm):
    """The same while it is being filled in: what is not said yet is no mistake."""

    is_still_open = True

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in ("fee_net", "begins", "pictures", "licensee", "first_day"):
            self.fields[name].required = False


class PlaceForm(TickedPictures):
    first_day = DayField(label="First day of use")

    def __init__(self, *args: Any, licence: Licence, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if licence.is_placed:
            del self.fields["first_day"]


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


class AcceptForm(SheetForm):
    accepted_by = forms.CharField(label="Who said yes for the client", max_length=120)
    signed_by = forms.CharField(label="Sign the exclusive licence with your full name", max_length=120)
    write_to_client = forms.BooleanField(label="Write to the client by e-mail", required=False, initial=True)

    def __init__(self, *args: Any, licence: Licence, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if licence.exclusivity == Exclusivity.NONE:
            del self.fields["signed_by"]


class OfferDraftForm(SheetForm):
    write_to_client = forms.BooleanField(label="Write to the client by e-mail", required=False, initial=True)


class SendForm(SheetForm):
    to = forms.EmailField(
        label="E-mail address", help_text="The licence goes along as a PDF, in the client’s language."
    )


class DeclineForm(SheetForm):
    reason = forms.CharField(label="Reason, in their words", max_length=300, required=False)


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


class CopiesForm(SheetForm):
    copies = forms.IntegerField(label="Copies made since the last report", min_value=1, max_value=MOST_COPIES)
