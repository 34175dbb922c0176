from functools import cache
from typing import Any

from crispy_forms.layout import Fieldset, Layout, Row
from django import forms
from django.core.exceptions import ValidationError
from django.utils.html import format_html_join
from django.utils.safestring import SafeString

from clients.calls import MOST_CALLS, USUAL_CALLS, read_calls, with_usual
from clients.choices import country_choices, currency_choices
from clients.compass import InvalidBearing, read_bearing
from clients.models import Client, ClientKind, Kitchen, Person, SpokenLanguage, Weekday
from clients.queries import clients_to_choose, trades_by_key, trades_to_choose
from clients.trades import LONGEST_TRADE, TradeRefused, read_trade
from shared.business.checks import InvalidVatNumber, check_vat_number
from shared.business.models import Language
from shared.words.forms import (
    ClockField,
    EditedFormMixin,
    SegmentSelect,
    SheetForm,
    SheetModelForm,
    zone_names,
)
from shared.words.phrases import LICENCE_LANGUAGES

ARCHIVED = (("", "On the list"), ("archived", "Archived"), ("all", "All"))


@cache
def zones_to_choose() -> SafeString:
    """The time zones of places, written once: five hundred of them stand under every kitchen's field."""
    places = sorted(zone for zone in zone_names() if "/" in zone and not zone.startswith("Etc/"))
    return format_html_join("", '<option value="{}"></option>', ((zone,) for zone in places))


class ClientFilter(SheetForm):
    text = forms.CharField(required=False, max_length=80, label="Search", widget=forms.SearchInput())
    kind = forms.ChoiceField(required=False, label="Kind", choices=[("", "Any kind"), *ClientKind.choices])
    archived = forms.ChoiceField(required=False, label="Shown", choices=ARCHIVED)


class WordFilter(SheetForm):
    text = forms.CharField(required=False, max_length=80, label="Search", widget=forms.SearchInput())


class NewClientForm(SheetForm):
    """The short way in: who they are and whom to write to. All else can be said later."""

    name = forms.CharField(max_length=120, label="Name")
    kind = forms.ChoiceField(choices=ClientKind, initial=ClientKind.RESTAURANT, label="Kind", widget=SegmentSelect)
    city = forms.CharField(max_length=80, label="City")
    language = forms.ChoiceField(choices=Language, label="Their papers are in", widget=SegmentSelect)
    contact_name = forms.CharField(max_length=120, required=False, label="Contact person")
    contact_email = forms.EmailField(required=False, label="Their e-mail")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.helper.layout = Layout(Row("name", "city"), "kind", "language", Row("contact_name", "contact_email"))

    def clean(self) -> dict[str, Any]:
        if self.cleaned_data.get("contact_email") and not self.cleaned_data.get("contact_name"):
            self.add_error("contact_name", "Say whose e-mail address this is.")
        return self.cleaned_data


class TradeFields:
    """Mixin for SheetForm and SheetModelForm: one trade, chosen from the list or typed as a new one beside it.

    After a clean form ``cleaned_data["trade"]`` is its name, empty where none is known; the action puts a new one on the list. A form
    asks with one query, however long the list is, and one more for a typed name. ``trade`` is the one so far.
    """

    trade_label, trade_help, no_trade = "Trade", "", "Not known"
    new_trade_help = "Not on the list? Typed here it is added, and counts instead of the one chosen."

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self._offer_trades(trades_to_choose())  # type: ignore[attr-defined]

    def _offer_trades(self, names: tuple[str, ...]) -> None:
        fields: dict[str, forms.Field] = self.fields  # type: ignore[attr-defined]
        so_far = self.initial.get("trade") or ""  # type: ignore[attr-defined]
        names = names if so_far in ("", *names) else (*names, so_far)
        fields["trade"] = forms.ChoiceField(
            label=self.trade_label,
            required=False,
            choices=[("", self.no_trade), *((name, name) for name in names)],
            help_text=self.trade_help,
        )
        fields["new_trade"] = forms.CharField(
            label="Another trade", required=False, max_length=LONGEST_TRADE, help_text=self.new_trade_help
        )
        for name in ("trade", "new_trade"):
            self.dress(fields[name])  # type: ignore[attr-defined]
        fields["trade"].error_messages["invalid_choice"] = (
            "“%(value)s” is not on the list of trades. Choose one of the list, or type it under Another trade."
        )

    def clean_new_trade(self) -> str:
        return read_typed_trade(self.cleaned_data["new_trade"])  # type: ignore[attr-defined]

    def clean(self) -> dict[str, Any]:
        found: dict[str, Any] = super().clean() or self.cleaned_data  # type: ignore[misc]
        if found.get("new_trade"):
            known = trades_by_key([found["new_trade"]])
            found["trade"] = next(iter(known.values()), found["new_trade"])
            self.errors.pop("trade", None)  # type: ignore[attr-defined]
        return found


def read_typed_trade(typed: str) -> str:
    """A trade typed into a form, as the list would hold it; empty stays empty."""
    try:
        return read_trade(typed) if typed.strip() else ""
    except TradeRefused as refused:
        raise ValidationError(f"{refused.what_happened} {refused.what_to_do}") from None


class ClientForm(TradeFields, EditedFormMixin, SheetModelForm):
    country = forms.ChoiceField(label="Country")
    currency = forms.ChoiceField(label="Currency of their papers")

    class Meta:
        model = Client
        fields = [
            "name", "legal_name", "kind", "trade", "language", "licence_language", "street", "postcode", "city", "country", "is_business", "vat_number",
            "currency", "payment_days", "invoice_email", "is_order_number_required", "notes",
        ]  # fmt: skip
        labels = {
            "legal_name": "Full legal name", "language": "Their papers are in", "licence_language": "Their licences are in", "is_business": "They buy as a business", "vat_number": "VAT number",
            "payment_days": "Days to pay", "invoice_email": "E-mail for invoices", "is_order_number_required": "They need an order number on each invoice",
            "street": "Street and number",
        }  # fmt: skip
        help_texts = {
            "legal_name": "As it stands on invoices, if it differs from the name.",
            "payment_days": "Empty: as the business profile says.",
            "licence_language": "For the next licence, its certificate and the letters with it. What is agreed already stays as it was agreed.",
            "vat_number": "With the letters of the country first. The digits are checked here; whether it is registered, the tax office knows.",
        }

    trade_help = "Their line of business. A licence exclusive in a trade shuts out firms of the same trade."

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["country"].choices = country_choices("en")
        self.fields["currency"].choices = currency_choices("en")
        self.fields["licence_language"].choices = [("", "The language of their papers"), *LICENCE_LANGUAGES.items()]
        self.helper.layout = Layout(
            "version",
            Fieldset(
                "Who they are",
                Row("name", "legal_name"),
                "kind",
                Row("trade", "new_trade"),
                Row("language", "licence_language"),
            ),
            Fieldset("Address", "street", Row("postcode", "city", "country", css_class="fields-3")),
            Fieldset(
                "Billing",
                Row("vat_number", "invoice_email"),
                Row("currency", "payment_days"),
                "is_business",
                "is_order_number_required",
            ),
            Fieldset("Notes for yourself", "notes"),
        )

    def clean_vat_number(self) -> str:
        typed = self.cleaned_data["vat_number"]
        try:
            return check_vat_number(typed) if typed else ""
        except InvalidVatNumber as error:
            raise ValidationError(str(error)) from None

    def clean_payment_days(self) -> int | None:
        days = self.cleaned_data["payment_days"]
        if days is not None and days > 365:
            raise ValidationError("Enter 0 to 365 days, for example 14.")
        return days


PART_LABELS = {"orders": "Orders", "approves": "Approves", "pays": "Pays", "cooks": "Cooks"}


class PartsForm(SheetForm):
    """What a person does for a client."""

    orders = forms.BooleanField(required=False, label="Orders")
    approves = forms.BooleanField(required=False, label="Approves")
    pays = forms.BooleanField(required=False, label="Pays")
    cooks = forms.BooleanField(required=False, label="Cooks")

    def parts(self) -> dict[str, bool]:
        return {part: self.cleaned_data[part] for part in PART_LABELS}


class ClientPersonForm(PartsForm):
    """A person of a client: somebody new, or somebody already known."""

    known = forms.ModelChoiceField(
        queryset=Person.objects.none(), required=False, label="Already known", empty_label="Somebody new"
    )
    name = forms.CharField(max_length=120, required=False, label="Name")
    email = forms.EmailField(required=False, label="E-mail")
    phone = forms.CharField(max_length=40, required=False, label="Phone")
    field_order = ["name", "email", "phone", "orders", "approves", "pays", "cooks", "known"]

    def __init__(self, *args: Any, client: Client, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["known"].queryset = Person.objects.exclude(parts__client=client)
        self.helper.layout = Layout(
            Row("name", "known"), Row("email", "phone"), Row("orders", "approves"), Row("pays", "cooks"),
        )  # fmt: skip

    def clean(self) -> dict[str, Any]:
        known, name = self.cleaned_data.get("known"), self.cleaned_data.get("name")
        if not known and not name and "name" not in self.errors:
            self.add_error("name", "Enter a name, or choose somebody already known.")
        if known and name:
            self.add_error("known", f"Choose {known} or enter a new name, not both.")
        return self.cleaned_data


class PersonForm(EditedFormMixin, SheetModelForm):
    class Meta:
        model = Person
        fields = ["name", "language", "kitchen_language", "email", "phone", "note"]
        labels = {
            "language": "Letters in",
            "kitchen_language": "Spoken to at the stove in",
            "email": "E-mail",
            "note": "Notes for yourself",
        }
        help_texts = {"kitchen_language": "For a cook: the first language of the cook’s sheet."}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["kitchen_language"].choices = [("", "The language of their letters"), *SpokenLanguage.choices]
        self.helper.layout = Layout(
            "version", "name", Row("language", "kitchen_language"), Row("email", "phone"), "note"
        )


class PartLineForm(PartsForm):
    """One line of a person's form: a client and the parts there."""

    client = forms.ModelChoiceField(
        queryset=Client.objects.none(), required=False, label="Client", empty_label="No client"
    )
    field_order = ["client", "orders", "approves", "pays", "cooks"]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["client"].queryset = Client.objects.all()


class PartLines(forms.BaseFormSet):
    def clean(self) -> None:
        chosen = [
            form.cleaned_data["client"]
            for form in self.forms
            if form.cleaned_data.get("client") and not form.cleaned_data.get("DELETE")
        ]
        if len(chosen) != len(set(chosen)):
            raise ValidationError("A client stands here twice. Keep one line for each client.")

    def parts(self) -> dict[Client, dict[str, bool]]:
        lines = [form for form in self.forms if form.cleaned_data.get("client") and not form.cleaned_data.get("DELETE")]
        return {form.cleaned_data["client"]: form.parts() for form in lines}

    def add_fields(self, form: Any, index: int | None) -> None:
        super().add_fields(form, index)
        form.fields["DELETE"].label = "Remove this line"


PartFormSet = forms.formset_factory(PartLineForm, formset=PartLines, extra=1, max_num=40, can_delete=True)


class BearingField(forms.Field):
    """Degrees from north or a point of the compass; the value is whole degrees."""

    widget = forms.TextInput(attrs={"autocomplete": "off"})

    def to_python(self, value: Any) -> Any:
        try:
            return None if value in self.empty_values else read_bearing(str(value)[:40])
        except InvalidBearing as error:
            raise ValidationError(str(error), code="invalid") from None


class KitchenForm(EditedFormMixin, SheetModelForm):
    country = forms.ChoiceField(label="Country")
    client = forms.ModelChoiceField(
        queryset=Client.objects.none(), required=False, label="Whose kitchen", empty_label="My own studio"
    )
    usual_calls = forms.MultipleChoiceField(
        label="Add usual calls",
        required=False,
        widget=forms.CheckboxSelectMultiple,
        choices=[(call, call) for call in USUAL_CALLS],
        help_text="Common practice, no source. Ask which of them are called in this kitchen, and how.",
    )

    class Meta:
        model = Kitchen
        fields = [
            "name", "client", "street", "postcode", "city", "country", "distance_km", "time_zone", "latitude", "longitude",
            "way_in", "key_holder", "house_rules", "hazards", "calls",
        ]  # fmt: skip
        labels = {
            "street": "Street and number", "distance_km": "Way there, km", "key_holder": "Who has the key", "calls": "Calls of this kitchen",
        }  # fmt: skip
        help_texts = {
            "latitude": "Degrees north, for example 53.55. South is negative. The sun in the windows is reckoned from it.",
            "longitude": "Degrees east, for example 9.99. West is negative.",
            "distance_km": "From your desk, one way.",
            "time_zone": "For example Europe/Berlin.",
            "way_in": "Which door, where to park, the lift, the bell.",
            "hazards": "Hot, sharp, slippery, high, electric. What the house itself tells goes first; their rules stand above yours.",
            "calls": "One a line, in the words that are called there when something hot or sharp comes by. They stand on the sheets and on set.",
        }

    def __init__(self, *args: Any, client: Client | None = None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        owner_pk = self.instance.client_id or (client.pk if client else None)
        self.fields["country"].choices = country_choices("en")
        self.fields["client"].queryset = (clients_to_choose() | Client.objects.filter(pk=owner_pk)).only("name")
        self.fields["key_holder"].queryset = Person.objects.only("name")
        self.fields["key_holder"].empty_label = "Nobody named yet"
        self.fields["time_zone"].widget.attrs["list"] = "time-zones"
        self.time_zones = zones_to_choose()
        known = read_calls(self.instance.calls)
        left = [(call, call) for call in USUAL_CALLS if call not in known]
        self.fields["usual_calls"].choices = left
        if not left:
            del self.fields["usual_calls"]
        calls = [Row("calls", "usual_calls") if left else "calls"]
        self.helper.layout = Layout(
            "version",
            Fieldset(
                "The place", Row("name", "client"), "street", Row("postcode", "city", "country", css_class="fields-3")
            ),
            Fieldset("Getting in", Row("key_holder", "distance_km"), "way_in"),
            Fieldset("Rules and hazards", Row("house_rules", "hazards"), *calls),
            Fieldset("Sun and clock", Row("latitude", "longitude", "time_zone", css_class="fields-3")),
        )

    def clean_time_zone(self) -> str:
        typed = self.cleaned_data["time_zone"].strip()
        if typed not in zone_names():
            raise ValidationError(f"“{typed}” is not a time zone. Choose one from the list, for example Europe/Berlin.")
        return typed

    def clean_latitude(self) -> Any:
        return self._within("latitude", 90)

    def clean_longitude(self) -> Any:
        return self._within("longitude", 180)

    def clean_distance_km(self) -> Any:
        distance = self.cleaned_data["distance_km"]
        if distance is not None and distance < 0:
            raise ValidationError("Enter 0 km or more.")
        return distance

    def clean(self) -> dict[str, Any]:
        found = super().clean() or self.cleaned_data
        if (found.get("latitude") is None) != (found.get("longitude") is None) and not {"latitude", "longitude"} & set(
            self.errors
        ):
            self.add_error(
                "longitude" if found.get("longitude") is None else "latitude",
                "Enter both numbers of the position, or neither.",
            )
        calls = with_usual(found.get("calls", ""), found.get("usual_calls", ()))
        if len(calls) > MOST_CALLS:
            self.add_error(
                "calls", f"These are {len(calls)} calls. Keep at most {MOST_CALLS}: more are not remembered."
            )
        found["calls"] = "\n".join(calls)
        return found

    def _within(self, name: str, most: int) -> Any:
        degrees = self.cleaned_data[name]
        if degrees is not None and abs(degrees) > most:
            raise ValidationError(f"Enter degrees from −{most} to {most}.")
        return degrees


class WindowForm(SheetForm):
    bearing_degrees = BearingField(required=False, label="Looks to", help_text="0 to 359 degrees, or south-west")
    name = forms.CharField(required=False, max_length=60, label="Called")
    width_cm = forms.IntegerField(required=False, min_value=1, max_value=5000, label="Width, cm")
    height_cm = forms.IntegerField(required=False, min_value=1, max_value=5000, label="Height, cm")

    def clean(self) -> dict[str, Any]:
        filled = any(self.cleaned_data.get(name) for name in ("name", "width_cm", "height_cm"))
        if filled and self.cleaned_data.get("bearing_degrees") is None and "bearing_degrees" not in self.errors:
            self.add_error("bearing_degrees", "Say where this window looks to.")
        return self.cleaned_data


class HoursForm(SheetForm):
    weekday = forms.TypedChoiceField(
        coerce=int, empty_value=None, required=False, label="Day", choices=[("", "No day"), *Weekday.choices]
    )
    from_time = ClockField(required=False, label="From")
    until_time = ClockField(required=False, label="To")

    def clean(self) -> dict[str, Any]:
        begins, ends = self.cleaned_data.get("from_time"), self.cleaned_data.get("until_time")
        if self.errors or (self.cleaned_data.get("weekday") is None and begins is None and ends is None):
            return self.cleaned_data
        if self.cleaned_data.get("weekday") is None:
            self.add_error("weekday", "Choose the day of these hours.")
        if begins is None:
            self.add_error("from_time", "Enter when the free hours begin.")
        if ends is None:
            self.add_error("until_time", "Enter when the free hours end.")
        if begins is not None and ends is not None and ends <= begins:
            self.add_error("until_time", f"The hours end before they begin. Enter a time after {begins:%H:%M}.")
        return self.cleaned_data


class KitchenLines(forms.BaseFormSet):
    """Lines of a kitchen: those with ``key`` filled in and not removed."""

    key = ""

    def add_fields(self, form: Any, index: int | None) -> None:
        super().add_fields(form, index)
        form.fields["DELETE"].label = "Remove this line"

    def lines(self) -> list[dict[str, Any]]:
        kept = [
            form.cleaned_data
            for form in self.forms
            if form.cleaned_data.get(self.key) is not None and not form.cleaned_data.get("DELETE")
        ]
        return [{name: value for name, value in line.items() if name != "DELETE"} for line in kept]


class WindowLines(KitchenLines):
    key = "bearing_degrees"


class HourLines(KitchenLines):
    key = "weekday"


WindowFormSet = forms.formset_factory(WindowForm, formset=WindowLines, extra=1, max_num=40, can_delete=True)
HourFormSet = forms.formset_factory(HoursForm, formset=HourLines, extra=1, max_num=60, can_delete=True)
