import re
from typing import Any

from crispy_forms.layout import Fieldset, Layout, Row
from django import forms
from django.core.exceptions import ValidationError
from django.db.models import Q

from clients.forms import read_typed_trade
from clients.models import Client, Kitchen, Person
from clients.queries import kitchens_to_choose, trades_to_choose
from shared.words.forms import (
    ChoiceCards,
    ClockField,
    DayField,
    EditedFormMixin,
    SheetForm,
    SheetModelForm,
    TickList,
    show_rows,
)
from shoots.brief.models import AgreedPicture, Dish, Finishing, Part, SellingOn, Shoot, ShootPerson, ShootState
from shoots.uses.forms import UseFields

SHOOT_FIELDS = (
    "client", "title", "first_on", "last_on", "from_time", "until_time", "kitchen", "brief", "billing_party", "licensee", "order_number",
)  # fmt: skip
STATES = [("", "All"), ("open", "Not finished"), *ShootState.choices]
LONGEST_LIST = 60
# The accepted terms say what moving the day costs, so it is not moved in passing.
DAY_IS_AGREED = (ShootState.CONFIRMED, ShootState.SHOT, ShootState.DELIVERED, ShootState.CANCELLED)
# 4 x 5 and 4/5 are 4:5; measures stay as they are typed.
RATIO = re.compile(r"\b(\d{1,3}(?:[.,]\d)?)\s*[:x×/]\s*(\d{1,3}(?:[.,]\d)?)\b(?!\s*(?:mm|cm|px))")


class ShootFilter(SheetForm):
    text = forms.CharField(required=False, max_length=80, label="Search", widget=forms.SearchInput())
    state = forms.ChoiceField(required=False, label="State", choices=STATES)
    client = forms.ModelChoiceField(
        required=False, label="Client", queryset=Client.objects.only("name"), empty_label="Any client"
    )


class LinesField(forms.CharField):
    """One thing a line; the value is a list without empty lines."""

    widget = forms.Textarea(attrs={"rows": "3"})

    def __init__(self, *, longest: int, **kwargs: Any) -> None:
        self.longest = longest
        super().__init__(required=kwargs.pop("required", False), **kwargs)

    def to_python(self, value: Any) -> Any:
        lines = [" ".join(line.split()) for line in super().to_python(value).splitlines()]
        return [line for line in lines if line]

    def validate(self, value: Any) -> None:
        if self.required and not value:
            raise ValidationError(self.error_messages["required"], code="required")
        if len(value) > LONGEST_LIST:
            raise ValidationError(f"These are {len(value)} lines. Send at most {LONGEST_LIST} at once.")
        for line in value:
            if len(line) > self.longest:
                raise ValidationError(f"“{line[:40]}…” is too long: use at most {self.longest} characters a line.")

    def run_validators(self, value: Any) -> None:
        """Each line was measured above."""


class ShootForm(UseFields, EditedFormMixin, SheetModelForm):
    """A shoot as it is asked for: whose, what, when, where, and what the pictures are for."""

    dishes = LinesField(longest=120, label="Dishes, one a line")
    pictures = LinesField(longest=160, label="Pictures wanted, one a line")

    class Meta:
        model = Shoot
        fields = SHOOT_FIELDS
        labels = {
            "first_on": "Day", "last_on": "Last day, if several", "from_time": "From", "until_time": "To", "kitchen": "Where", "brief": "Brief",
            "billing_party": "Who pays", "licensee": "Who may use the pictures", "order_number": "Their order number",
        }  # fmt: skip
        help_texts = {
            "brief": "What they want to show, the mood, what must not be in the picture.",
            "billing_party": "Empty: the client. An agency may pay for its end client.",
            "licensee": "Empty: the client. The licence names this house.",
        }

    def __init__(self, *args: Any, client: Client | None = None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        is_new = self.instance.pk is None
        kept = {self.instance.client_id, self.instance.billing_party_id, self.instance.licensee_id} - {None}
        parties = Client.objects.filter(Q(archived_at=None) | Q(pk__in=kept)).only("name")
        for name in ("client", "billing_party", "licensee"):
            self.fields[name].queryset = parties
        self.fields["client"].empty_label = "Choose a client"
        for name in ("billing_party", "licensee"):
            self.fields[name].required = False
            self.fields[name].empty_label = "The client"
        listed = list(parties)
        for name in ("client", "billing_party", "licensee"):
            show_rows(self.fields[name], listed)
        self.fields["kitchen"].queryset = kitchens_to_choose() | Kitchen.objects.filter(
            pk=self.instance.kitchen_id
        ).select_related("client")
        self.fields["kitchen"].label_from_instance = _kitchen_label
        self.fields["kitchen"].empty_label = "Not known yet"
        if client is not None and is_new:
            self.initial |= {"client": client.pk}
        if not is_new:
            del self.fields["dishes"], self.fields["pictures"]
        if self.instance.state in DAY_IS_AGREED:
            for name in ("first_on", "last_on"):
                self.fields[name].disabled = True
            self.fields["first_on"].help_text = "Agreed with the client. Move it with Postpone on the shoot’s page."
        self.helper.layout = Layout(
            "version",
            Fieldset("The job", Row("client", "title"), "brief"),
            Fieldset(
                "When and where",
                Row("first_on", "from_time", "until_time", css_class="fields-3"),
                Row("kitchen", "last_on"),
            ),
            *([Fieldset("What is made", Row("dishes", "pictures"))] if is_new else []),
        )

    def clean(self) -> dict[str, Any]:
        found = super().clean() or self.cleaned_data
        client = found.get("client")
        for name in ("billing_party", "licensee"):
            if not found.get(name):
                found[name] = client
        check_days(self, found.get("first_on"), found.get("last_on"), "last_on")
        begins, ends = found.get("from_time"), found.get("until_time")
        if begins and ends and ends <= begins and found.get("last_on") in (None, found.get("first_on")):
            self.add_error("until_time", f"The shoot ends before it begins. Enter a time after {begins:%H:%M}.")
        if ends and not begins and "from_time" not in self.errors:
            self.add_error("from_time", "Enter when the shoot begins.")
        if found.get("last_on") and not found.get("first_on") and "first_on" not in self.errors:
            self.add_error("first_on", "Enter the first day too.")
        return found

    def shoot_values(self) -> dict[str, Any]:
        """The row's own fields, as typed."""
        return {name: self.cleaned_data[name] for name in SHOOT_FIELDS}


def _kitchen_label(kitchen: Kitchen) -> str:
    return f"{kitchen.client}: {kitchen}" if kitchen.client else f"Own studio: {kitchen}"


def check_days(form: Any, first_on: Any, last_on: Any, field: str) -> None:
    """Says it under ``field`` when the last day lies before the first."""
    if first_on and last_on and last_on < first_on:
        form.add_error(field, "The last day lies before the first. Enter the first day or a later one.")


class HoldForm(SheetForm):
    held_until = DayField(required=False, label="Hold the day until", help_text="Empty: without end.")

    def __init__(self, *args: Any, today: Any = None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.today = today

    def clean_held_until(self) -> Any:
        held = self.cleaned_data["held_until"]
        if held and self.today and held < self.today:
            raise ValidationError("This day is past. Enter today or a later day.")
        return held


class ShotForm(SheetForm):
    shot_on = DayField(label="Last day of the shoot")

    def __init__(self, *args: Any, today: Any = None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.today = today

    def clean_shot_on(self) -> Any:
        shot = self.cleaned_data["shot_on"]
        if self.today and shot > self.today:
            raise ValidationError("This day is still to come. Enter today or an earlier day.")
        return shot


class CancelForm(SheetForm):
    reason = forms.CharField(max_length=300, label="Why", help_text="For your own history. The client does not see it.")


class PostponeForm(SheetForm):
    new_first_on = DayField(required=False, label="New day", help_text="Empty: not known yet.")
    new_last_on = DayField(required=False, label="New last day, if several")
    reason = forms.CharField(max_length=300, required=False, label="Why")

    def clean(self) -> dict[str, Any]:
        check_days(self, self.cleaned_data.get("new_first_on"), self.cleaned_data.get("new_last_on"), "new_last_on")
        return self.cleaned_data


class SellingOnForm(SheetForm):
    """What the client said about selling the pictures to others."""

    selling_on = forms.ChoiceField(
        label="May you sell these pictures to others",
        choices=SellingOn,
        widget=ChoiceCards(
            details={
                "not_agreed": "They have not said so. You sell nothing on.",
                "after": "From the day after the one named.",
                "not_to": "To anybody but firms of the trades named.",
                "free": "To anybody, at once.",
            }
        ),
    )
    after = DayField(required=False, label="Not before or on this day")
    not_to = forms.MultipleChoiceField(required=False, label="Not to these trades", widget=TickList)
    new_trades = forms.CharField(
        required=False,
        max_length=300,
        label="Other trades",
        help_text="Not on the list? Typed here they are added to it, with commas between them.",
    )
    note = forms.CharField(
        max_length=300,
        label="Who said so, when and how",
        help_text="For example: Maro Lantadze by phone, 28 Oct. It goes into the evidence log.",
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field = self.fields["not_to"]
        field.choices = [(name, name) for name in trades_to_choose()]
        field.error_messages["invalid_choice"] = (
            "“%(value)s” is not on the list of trades. Tick one of the list, or type it under Other trades."
        )

    def clean_new_trades(self) -> list[str]:
        return [read_typed_trade(each) for each in split_words(self.cleaned_data["new_trades"])]

    def clean(self) -> dict[str, Any]:
        said = self.cleaned_data.get("selling_on")
        self.cleaned_data["not_to"] = [
            *self.cleaned_data.get("not_to", ()),
            *self.cleaned_data.pop("new_trades", ()),
        ]
        if said == SellingOn.AFTER and not self.cleaned_data.get("after") and "after" not in self.errors:
            self.add_error("after", "Enter the last day on which you may not sell.")
        if said == SellingOn.NOT_TO and not self.cleaned_data["not_to"] and "not_to" not in self.errors:
            self.add_error("not_to", "Tick at least one trade, or type it under Other trades.")
        return self.cleaned_data


def split_words(text: str) -> list[str]:
    """Words with commas, semicolons or lines between them, each once, in the order typed."""
    return list(dict.fromkeys(" ".join(part.split()) for part in re.split(r"[,;\n]", text) if part.strip()))


class AddDishForm(SheetForm):
    names = forms.CharField(max_length=400, label="Add a dish", help_text="Several with semicolons between them.")

    def clean_names(self) -> list[str]:
        names = [" ".join(part.split()) for part in re.split(r"[;\n]", self.cleaned_data["names"]) if part.strip()]
        if not names:
            raise ValidationError("Enter the name of a dish.")
        if any(len(name) > 120 for name in names):
            raise ValidationError("Use at most 120 characters for the name of a dish.")
        return names


class DishForm(EditedFormMixin, SheetModelForm):
    allergens = forms.CharField(
        required=False,
        max_length=600,
        label="Allergens as the cook told them",
        help_text="With commas, for example: wheat, milk, egg.",
    )

    class Meta:
        model = Dish
        fields = ["name", "portions", "allergens_told_by", "note"]
        labels = {"portions": "Portions cooked", "allergens_told_by": "Told by", "note": "Note"}
        help_texts = {
            "allergens_told_by": "If you fill this in and name no allergen, the sheets say: none named by the cook."
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.initial["allergens"] = ", ".join(self.instance.allergens or ())
        self.helper.layout = Layout("version", Row("name", "portions"), Row("allergens", "allergens_told_by"), "note")

    def clean_allergens(self) -> list[str]:
        return split_words(self.cleaned_data["allergens"])

    def clean_portions(self) -> Any:
        portions = self.cleaned_data["portions"]
        if portions is not None and not 1 <= portions <= 1000:
            raise ValidationError("Enter 1 to 1,000 portions.")
        return portions

    def clean(self) -> dict[str, Any]:
        found = super().clean() or self.cleaned_data
        if found.get("allergens") and not found.get("allergens_told_by"):
            self.add_error("allergens_told_by", "Say who told you. Allergens come from the cook, not from a recipe.")
        return found


class WantedPicturesForm(SheetForm):
    titles = LinesField(longest=160, required=True, label="Add pictures, one a line")
    dish = forms.ModelChoiceField(
        queryset=Dish.objects.none(), required=False, label="Of the dish", empty_label="No dish, or several"
    )
    orientation = forms.ChoiceField(choices=AgreedPicture.Orientation, initial="any", required=False, label="Shape")
    purpose = forms.CharField(
        max_length=160, required=False, label="For what", help_text="For example: first page of the menu."
    )
    finishing = forms.ChoiceField(
        choices=Finishing,
        initial="simple",
        required=False,
        label="Finishing",
        help_text="Estimates count it by your rates.",
    )

    def __init__(self, *args: Any, shoot: Shoot, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["dish"].queryset = shoot.dishes.all()
        self.helper.layout = Layout("titles", Row("dish", "purpose"), Row("orientation", "finishing"))

    def clean_orientation(self) -> str:
        return self.cleaned_data["orientation"] or "any"

    def clean_finishing(self) -> str:
        return self.cleaned_data["finishing"] or "simple"


class AgreedPictureForm(EditedFormMixin, SheetModelForm):
    class Meta:
        model = AgreedPicture
        fields = ["title", "dish", "orientation", "purpose", "crop", "space_for_type", "finishing"]
        labels = {
            "title": "What it shows",
            "dish": "Of the dish",
            "orientation": "Shape",
            "purpose": "For what",
            "crop": "Crop or format",
            "space_for_type": "Space for type",
            "finishing": "Finishing",
        }
        help_texts = {
            "finishing": "Estimates drafted or changed from now on count it by your rates.",
            "purpose": "For example: first page of the menu.",
            "crop": "A ratio or your own words: 4:5, 16:9, a double page.",
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["dish"].queryset = self.instance.shoot.dishes.all()
        self.fields["dish"].empty_label = "No dish, or several"
        self.fields["space_for_type"].choices = AgreedPicture.SpaceForType.choices
        self.fields["finishing"].required = False
        self.helper.layout = Layout(
            "version",
            "title",
            Row("dish", "purpose"),
            Row("orientation", "crop", "space_for_type", css_class="fields-3"),
            "finishing",
        )

    def clean_crop(self) -> str:
        return " ".join(RATIO.sub(r"\1:\2", self.cleaned_data["crop"]).split())


class PartForm(SheetForm):
    """A person on the shoot: somebody known, or somebody new by name."""

    person = forms.ModelChoiceField(
        queryset=Person.objects.none(), required=False, label="Person", empty_label="Somebody new"
    )
    name = forms.CharField(max_length=120, required=False, label="Name, if new")
    phone = forms.CharField(max_length=40, required=False, label="Phone, if new")
    email = forms.EmailField(required=False, label="E-mail, if new")
    part = forms.ChoiceField(choices=Part, label="Part")
    from_time = ClockField(required=False, label="From")
    until_time = ClockField(required=False, label="To")
    brings = forms.CharField(max_length=200, required=False, label="Brings")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["person"].queryset = Person.objects.all()
        self.helper.layout = Layout(
            Row("person", "part"),
            Row("name", "phone", "email", css_class="fields-3"),
            Row("from_time", "until_time", "brings", css_class="fields-3"),
        )

    def clean(self) -> dict[str, Any]:
        person, name = self.cleaned_data.get("person"), self.cleaned_data.get("name")
        if not person and not name and not {"person", "name"} & set(self.errors):
            self.add_error("person", "Choose a person, or enter the name of somebody new.")
        if person and name:
            self.add_error("name", f"Leave this empty to take {person}, or choose Somebody new.")
        begins, ends = self.cleaned_data.get("from_time"), self.cleaned_data.get("until_time")
        if begins and ends and ends <= begins:
            self.add_error("until_time", f"The hours end before they begin. Enter a time after {begins:%H:%M}.")
        return self.cleaned_data


class EditPartForm(SheetModelForm):
    class Meta:
        model = ShootPerson
        fields = ["part", "from_time", "until_time", "brings"]
        labels = {"from_time": "From", "until_time": "To"}

    def clean(self) -> dict[str, Any]:
        found = super().clean() or self.cleaned_data
        begins, ends = found.get("from_time"), found.get("until_time")
        if begins and ends and ends <= begins:
            self.add_error("until_time", f"The hours end before they begin. Enter a time after {begins:%H:%M}.")
        return found


class UsePreviewForm(UseFields, SheetForm):
    """Reads a use that is being typed, for the sentence beside it."""
