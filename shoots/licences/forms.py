from datetime import date
from typing import Any

from django import forms

from clients.forms import TradeFields
from clients.models import Client
from clients.queries import clients_to_choose
from shared.words.forms import ChoiceCards, DayField, MoneyField, SheetForm
from shoots.brief.models import Exclusivity, Shoot
from shoots.licences.models import Begins, Licence
from shoots.licences.queries import pictures_to_tick
from shoots.pictures.models import Picture
from shoots.uses.forms import UseFields
from shoots.uses.intended import MOST_COPIES

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


class CopiesForm(SheetForm):
    copies = forms.IntegerField(label="Copies made since the last report", min_value=1, max_value=MOST_COPIES)
