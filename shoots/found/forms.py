from datetime import date
from typing import Any
from urllib.parse import urlsplit

from django import forms
from django.utils import timezone

from clients.models import Client
from clients.queries import clients_to_choose
from shared.business.queries import today
from shared.words.formats import with_capital
from shared.words.forms import DayField, FilesField, FilesInput, MoneyField, SheetForm, TickList
from shared.words.phrases import LICENCE_LANGUAGES
from shoots.found.models import OUTCOMES, FoundState, FoundUse
from shoots.found.queries import home_of
from shoots.licences.forms import last_day_before_the_calendars
from shoots.licences.models import Licence
from shoots.pictures.models import Picture
from shoots.uses.forms import BOTH_COPIES, CLASSES, COMMON_PLACES, COPIES_MISSING, found_both
from shoots.uses.intended import ANY_NUMBER, MOST_COPIES, InvalidUse
from shoots.uses.media_tree import media_choices
from shoots.uses.sentences import territory_choices
from shoots.uses.shipped import IN_FORCE
from shoots.uses.territory_tree import GROUPS, expand_groups

ACCEPTED = "image/jpeg,image/png,image/webp,application/pdf"
STATES = [("", "All"), ("open", "Without an outcome"), *FoundState.choices]
ASKS = (
    ("permission", "Tell me the permission you have"),
    ("licence", "Take a licence"),
    ("take_down", "Take it down"),
)
FIRST_YEAR = 1990


class FoundFilter(SheetForm):
    text = forms.CharField(required=False, max_length=80, label="Search", widget=forms.SearchInput())
    state = forms.ChoiceField(required=False, label="State", choices=STATES)
    client = forms.ModelChoiceField(
        required=False, label="Client", queryset=Client.objects.only("name"), empty_label="Anybody"
    )


def _shots(*, required: bool) -> FilesField:
    return FilesField(
        label="Photograph or screenshot", required=required, widget=FilesInput({"accept": ACCEPTED}),
        help_text="JPEG, PNG, WebP or PDF, up to 20 MB each; several at once. On a phone this opens the camera.",
    )  # fmt: skip


def web_address(text: str) -> str:
    """A full web address, http or https. Raises ValidationError: anything else is no place to look at, and some are dangerous to press."""
    try:
        parts = urlsplit(text)
        host, _port = parts.hostname or "", parts.port
    except ValueError:
        parts, host = urlsplit(""), ""
    if parts.scheme.lower() not in {"http", "https"} or not host or any(each.isspace() for each in text):
        raise forms.ValidationError("Enter the full web address, beginning with https:// or http://.")
    return text


class FoundForm(SheetForm):
    """A use seen in the wild. Only where and when must be; the rest can follow."""

    place = forms.CharField(
        label="Where did you see it?", max_length=160,
        help_text="The shop, the publication, the website: as you would find it again.",
    )  # fmt: skip
    user_name = forms.CharField(
        label="Who uses it", max_length=120, required=False, help_text="If it is no client yet."
    )
    client = forms.ModelChoiceField(
        label="Or a client", queryset=Client.objects.none(), required=False, empty_label="No client, or not known"
    )
    seen_on = DayField(label="Seen on")
    since = DayField(label="In use since, if known", required=False)
    link = forms.CharField(
        label="Web address", max_length=1000, required=False, widget=forms.TextInput({"inputmode": "url", "autocomplete": "off"})
    )  # fmt: skip
    use_classes = forms.MultipleChoiceField(label="What for", choices=CLASSES, required=False, widget=TickList)
    use_media = forms.MultipleChoiceField(label="In which medium", choices=(), required=False, widget=TickList)
    use_places = forms.MultipleChoiceField(
        label="For which market", choices=(), required=False, widget=TickList,
        help_text="Whom it is meant for. A website can be read everywhere and is meant for some.",
    )  # fmt: skip
    use_more_places = forms.MultipleChoiceField(
        label="More countries", choices=(), required=False, widget=forms.SelectMultiple(attrs={"size": "6"}),
        help_text="Hold Ctrl (Cmd on a Mac) to choose several.",
    )  # fmt: skip
    use_copies = forms.IntegerField(label="Copies made, if known", required=False, min_value=1, max_value=MOST_COPIES)
    note = forms.CharField(label="Note", required=False, max_length=2000, widget=forms.Textarea({"rows": 3}))

    def __init__(self, *args: Any, found: FoundUse | None = None, **kwargs: Any) -> None:
        on = today(timezone.now())
        kwargs["initial"] = {**(_initial(found) if found else _first_values(on)), **kwargs.get("initial", {})}
        super().__init__(*args, **kwargs)
        self.on = on
        known = set(found.use_territories) if found else {home_of(on)}
        self.fields["client"].queryset = clients_to_choose()
        self.fields["use_media"].choices = [(code, with_capital(name)) for code, name in media_choices()]
        common, more = _places(known)
        self.fields["use_places"].choices = _common_places()
        self.fields["use_more_places"].choices = territory_choices("en")
        self.fields["use_places"].initial, self.fields["use_more_places"].initial = common, more

    def clean_seen_on(self) -> date:
        return self._day_until_now("seen_on")

    def clean_since(self) -> date | None:
        return self._day_until_now("since") if self.cleaned_data["since"] else None

    def clean_link(self) -> str:
        text: str = self.cleaned_data["link"].strip()
        return web_address(text) if text else ""

    def clean(self) -> dict[str, Any]:
        typed = super().clean() or self.cleaned_data
        if typed.get("since") and typed.get("seen_on") and typed["since"] > typed["seen_on"]:
            self.add_error("since", "This is after the day you saw it. Enter that day or an earlier one.")
        if typed.get("client") and typed.get("user_name"):
            typed["user_name"] = ""
        media = frozenset(typed.get("use_media") or ())
        if typed.get("use_copies") and media and not IN_FORCE.media.is_counted(media):
            self.add_error(
                "use_copies", "Copies are counted in print only. Leave this empty, or choose a printed medium."
            )
        try:
            places, _groups = expand_groups(
                [*(typed.get("use_places") or ()), *(typed.get("use_more_places") or ())],
                on=typed.get("seen_on") or self.on,
            )
        except InvalidUse as error:
            self.add_error("use_places", str(error))
        else:
            self._territories = sorted(places)
        return typed

    def facts(self) -> dict[str, Any]:
        """The fields of the row. Only after a clean form."""
        typed = self.cleaned_data
        same = ("seen_on", "since", "place", "link", "client", "user_name", "use_copies", "note")
        return {
            **{name: typed[name] for name in same},
            "use_classes": sorted(typed["use_classes"]),
            "use_media": [code for code in IN_FORCE.media.nodes if code in typed["use_media"]],
            "use_territories": self._territories,
        }

    def _day_until_now(self, name: str) -> date:
        day: date = self.cleaned_data[name]
        if day > self.on:
            raise forms.ValidationError("This day is still to come. Enter the day on which you saw it.")
        if day.year < FIRST_YEAR:
            raise forms.ValidationError(f"Enter a day from {FIRST_YEAR} on.")
        return day

    @property
    def is_open(self) -> bool:
        """True when the details are filled in or wrong: they are then shown."""
        names = ("since", "link", "use_classes", "use_media", "use_copies", "note", "use_places", "use_more_places")
        return self.is_bound and any(self.errors.get(name) or self[name].value() for name in names)


class RecordForm(FoundForm):
    """The same with its photographs, and the picture where it is known already."""

    screenshots = _shots(required=False)
    pictures = forms.ModelMultipleChoiceField(
        queryset=Picture.objects.all(), required=False, widget=forms.MultipleHiddenInput
    )

    def ask_for_files_again(self) -> None:
        """A browser gives a chosen file once: where something else was wrong it has to be chosen again, and the page says so."""
        if self.is_bound and self.files and self.errors and "screenshots" not in self.errors:
            self.add_error(
                "screenshots", "Choose the photograph again: a file is not kept while something else is wrong."
            )


class ChangeForm(FoundForm):
    version = forms.IntegerField(widget=forms.HiddenInput)


class ShotsForm(SheetForm):
    screenshots = _shots(required=True)

    def clean_screenshots(self) -> list[Any]:
        files: list[Any] = self.cleaned_data["screenshots"]
        if not files:
            raise forms.ValidationError(self.fields["screenshots"].error_messages["required"], code="required")
        return files


class PickFilter(SheetForm):
    text = forms.CharField(required=False, max_length=80, label="Search", widget=forms.SearchInput())


class PickForm(SheetForm):
    pictures = forms.ModelMultipleChoiceField(
        queryset=Picture.objects.all(), required=False,
        error_messages={"invalid_pk_value": "This picture is no longer there. Choose again.", "invalid_choice": "This picture is no longer there. Choose again."},
    )  # fmt: skip


class LetterForm(SheetForm):
    """What the letter asks, in which language, and by when an answer is wanted."""

    language = forms.ChoiceField(label="Language", choices=list(LICENCE_LANGUAGES.items()))
    address = forms.CharField(
        label="Postal address", required=False, max_length=400, widget=forms.Textarea({"rows": 3}),
        help_text="Street, place, country: a line each. The name stands above.",
    )  # fmt: skip
    asks = forms.MultipleChoiceField(
        label="What to ask", choices=ASKS, widget=TickList, error_messages={"required": "Choose at least one thing to ask."}
    )  # fmt: skip
    answer_by = DayField(label="Answer wanted by")

    def __init__(self, *args: Any, found: FoundUse, on: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.on = on
        if found.client_id:
            del self.fields["address"]

    def clean_answer_by(self) -> date:
        day: date = self.cleaned_data["answer_by"]
        if day <= self.on:
            raise forms.ValidationError("Enter a day after today, so that there is time to answer.")
        if day.year > self.on.year + 5:
            raise forms.ValidationError("This day is years away. Check the year.")
        return day


class SendLetterForm(SheetForm):
    to = forms.EmailField(label="E-mail address", help_text="The letter and the screenshots go along.")


class OfferForm(SheetForm):
    """A licence for the days on which it was used, and one for the days after where the user goes on."""

    licensee = forms.ModelChoiceField(
        label="To whom", queryset=Client.objects.none(), empty_label="Choose", help_text="A client in your books: add the user first."
    )  # fmt: skip
    first_day = DayField(label="First day it was used")
    last_day = DayField(label="Last day it was used")
    fee_net = MoneyField(label="Fee before VAT", min_value=0)
    use_copies = forms.IntegerField(label="Copies made", required=False, min_value=1, max_value=MOST_COPIES)
    use_any_number = forms.BooleanField(label="Any number of copies", required=False)
    goes_on_until = DayField(label="They go on until", required=False)
    goes_on_fee = MoneyField(label="Fee for these days", min_value=0, required=False)
    write_to_client = forms.BooleanField(label="Write to the client by e-mail", required=False)

    def __init__(self, *args: Any, on: date, asks_for_copies: bool, **kwargs: Any) -> None:
        """``asks_for_copies``: the medium counts them and nobody saw how many were made."""
        super().__init__(*args, **kwargs)
        self.on, self.asks_for_copies = on, asks_for_copies
        self.fields["licensee"].queryset = clients_to_choose()
        if not asks_for_copies:
            del self.fields["use_copies"], self.fields["use_any_number"]

    def clean_last_day(self) -> date:
        day: date = self.cleaned_data["last_day"]
        if day > self.on:
            raise forms.ValidationError(
                "This day is still to come. Enter today or an earlier day; days to come go below."
            )
        return day

    def clean_goes_on_until(self) -> date | None:
        day: date | None = self.cleaned_data["goes_on_until"]
        if day is not None and day < self.on:
            raise forms.ValidationError("This day is over. Enter a day from today on, or leave it empty.")
        return last_day_before_the_calendars(day)

    def clean(self) -> dict[str, Any]:
        typed = super().clean() or self.cleaned_data
        first, last, until = typed.get("first_day"), typed.get("last_day"), typed.get("goes_on_until")
        if first and last and last < first:
            self.add_error("last_day", "The last day lies before the first. Enter a day on or after it.")
        if last and until and until <= last:
            self.add_error(
                "goes_on_until", "They used it up to that day already. Enter a later day, or leave it empty."
            )
        if until and typed.get("goes_on_fee") is None and "goes_on_fee" not in self.errors:
            self.add_error("goes_on_fee", "Enter the fee for the days after; 0 if they are free.")
        if typed.get("goes_on_fee") is not None and not until and "goes_on_until" not in self.errors:
            self.add_error("goes_on_until", "Say until when they go on, or leave this fee empty.")
        if self.asks_for_copies and "use_copies" not in self.errors:
            if found_both(typed):
                self.add_error("use_copies", BOTH_COPIES)
            elif not (typed.get("use_copies") or typed.get("use_any_number")):
                self.add_error("use_copies", COPIES_MISSING)
        return typed

    def terms(self) -> dict[str, Any]:
        """What was typed, as ``offer_for_use`` takes it. Only after a clean form."""
        typed = dict(self.cleaned_data)
        number, is_any = typed.pop("use_copies", None), typed.pop("use_any_number", False)
        return {**typed, "copies": ANY_NUMBER if is_any else number}


class OutcomeForm(SheetForm):
    """What came of it."""

    outcome = forms.ChoiceField(label="What came of it", choices=[(each.value, each.label) for each in OUTCOMES])
    answered_on = DayField(label="On", required=False, help_text="Empty: today.")
    licence = forms.ModelChoiceField(
        label="The licence", queryset=Licence.objects.none(), required=False, empty_label="None of these",
        help_text="Where one was taken afterwards.",
    )  # fmt: skip
    answer = forms.CharField(label="In a few words", max_length=300, required=False)

    def __init__(self, *args: Any, found: FoundUse, on: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.found, self.on = found, on
        self.fields["outcome"].choices = [(each.value, each.label) for each in OUTCOMES if each != found.state]
        licences = Licence.objects.filter(pictures__in=found.pictures.all(), accepted_at__isnull=False).distinct()
        if found.client_id:
            licences = licences.filter(licensee=found.client_id)
        self.fields["licence"].queryset = licences.select_related("licensee")

    def clean_answered_on(self) -> date:
        day: date = self.cleaned_data["answered_on"] or self.on
        if day > self.on:
            raise forms.ValidationError("This day is still to come.")
        if day < self.found.seen_on:
            raise forms.ValidationError("This is before the day you saw it.")
        return day

    def clean(self) -> dict[str, Any]:
        typed = super().clean() or self.cleaned_data
        if typed.get("licence") and typed.get("outcome") != FoundState.LICENSED:
            typed["licence"] = None
        return typed


def _initial(found: FoundUse) -> dict[str, Any]:
    names = (
        "place",
        "user_name",
        "client",
        "seen_on",
        "since",
        "link",
        "use_classes",
        "use_media",
        "use_copies",
        "note",
        "version",
    )
    return {name: getattr(found, name) for name in names}


def _first_values(on: date) -> dict[str, Any]:
    return {"seen_on": on}


def _common_places() -> list[tuple[str, str]]:
    names = dict(territory_choices("en"))
    return [(code, with_capital(GROUPS[code].name if code in GROUPS else names[code])) for code in COMMON_PLACES]


def _places(codes: set[str]) -> tuple[list[str], list[str]]:
    """Which ticks and which other countries show these codes; a whole group as its own tick."""
    left, ticked = set(codes), []
    for code in sorted(set(GROUPS) & set(COMMON_PLACES), key=lambda each: -len(GROUPS[each].members)):
        if GROUPS[code].members <= left:
            ticked.append(code)
            left -= GROUPS[code].members
    ticked += [code for code in COMMON_PLACES if code in left]
    return ticked, sorted(left - set(ticked))
