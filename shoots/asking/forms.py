from datetime import date, timedelta
from typing import Any

from django import forms

from clients.forms import TradeFields
from clients.models import Client
from clients.queries import clients_to_choose
from shared.words.forms import DayField, SheetForm, show_latest
from shoots.asking import queries
from shoots.asking.addresses import InvalidPick, read_pictures
from shoots.asking.answers import SOMEBODY, Answer, Asked
from shoots.brief.models import Shoot
from shoots.licences.forms import last_day_before_the_calendars
from shoots.uses.days import Length
from shoots.uses.forms import UseFields
from shoots.uses.intended import Exclusivity, InvalidUse, copies_needed

FIELD_OF_PART = {"months": "use_months", "exclusive_months": "exclusive_months", "last_day": "last_day"}
NOBODY_YET = "Somebody I do not know yet"


class AskForm(TradeFields, UseFields, SheetForm):
    """Which pictures, for whom, for what. Pictures may also be handed in by their keys, as ``pictures`` in the address."""

    text = forms.CharField(
        label="Find pictures", required=False, max_length=80, widget=forms.SearchInput(), help_text="A number, a dish, a shoot or a person.",
    )  # fmt: skip
    shoot = forms.ModelChoiceField(
        label="Of a shoot", required=False, queryset=Shoot.objects.none(), empty_label="Any shoot"
    )
    client = forms.ModelChoiceField(
        label="For whom", required=False, queryset=Client.objects.none(), empty_label=NOBODY_YET
    )
    trade_label, no_trade = "Their trade, if you know it", "That of the client"
    trade_help = "Not known at all, it counts as a rival’s."
    new_trade_help = "Not on the list? Typed here it counts for this question only."
    first_day = DayField(label="First day of use")
    last_day = DayField(
        label="Last day of use, if no whole months", required=False, help_text="Empty: as long as chosen above."
    )

    def __init__(self, *args: Any, handed_in: list[str], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.handed_in = handed_in
        self.keys: list[int] = []
        self.pictures: list[Any] = []
        self.asked: Asked | None = None
        self.fields["shoot"].queryset = queries.shoots_to_choose().only("title")
        chosen = self.data.get(self.add_prefix("shoot")) or self.initial.get("shoot")
        show_latest(self.fields["shoot"], chosen, at="For an older one type its name above.")
        self.fields["client"].queryset = clients_to_choose()

    def clean_last_day(self) -> date | None:
        return last_day_before_the_calendars(self.cleaned_data["last_day"])

    def clean(self) -> dict[str, Any]:
        typed = super().clean()
        self._pick(typed)
        if not self.errors:
            try:
                self.asked = self._question(typed)
            except InvalidUse as refused:
                self.add_error(FIELD_OF_PART.get(refused.path), str(refused))
        return typed

    def _pick(self, typed: dict[str, Any]) -> None:
        try:
            self.keys = read_pictures(self.handed_in)
        except InvalidPick as refused:
            self.add_error(None, str(refused))
            return
        text, shoot = typed.get("text", ""), typed.get("shoot")
        if not (self.keys or text or shoot):
            self.add_error(None, "No picture is picked. Search for some, choose a shoot, or tick pictures on a list.")
            return
        if len(self.keys) > queries.MOST:
            self.add_error(None, self._too_many(len(self.keys)))
            return
        self.pictures = queries.pictures_asked(self.keys, text=text, shoot=shoot)
        missing = set(self.keys) - {picture.pk for picture in self.pictures}
        if len(self.pictures) > queries.MOST:
            self.add_error(None, self._too_many(None))
        elif missing:
            some = "A picture that was handed in is" if len(missing) == 1 else f"{len(missing)} pictures handed in are"
            self.add_error(None, f"{some} not in the books. Pick them again from the list of pictures.")
        elif not self.pictures:
            self.add_error(
                "text", "No picture fits this search. Look for part of a number, a dish, a shoot or a person."
            )

    @staticmethod
    def _too_many(count: int | None) -> str:
        found = f"{count} pictures are" if count else f"More than {queries.MOST} pictures are"
        return f"{found} too many at once. Ask for up to {queries.MOST}: search more narrowly, or one shoot after the other."

    def _question(self, typed: dict[str, Any]) -> Asked:
        use, client, first = self.use_values(), typed["client"], typed["first_day"]
        length = Length(months=use["use_months"])
        if typed["last_day"]:
            if typed["last_day"] < first:
                raise InvalidUse("last_day", "The last day lies before the first. Enter a day on or after it.")
            length = Length(days=(typed["last_day"] + timedelta(days=1) - first).days)
        return Asked(
            licensee=str(client.pk) if client else SOMEBODY,
            trade=typed["trade"] or (client.trade if client else "") or None,
            classes=frozenset(use["use_classes"]),
            media=frozenset(use["use_media"]),
            territories=frozenset(use["use_territories"]),
            first=first,
            length=length,
            exclusivity=Exclusivity(use["exclusivity"]),
            exclusive_months=use["exclusive_months"],
            copies=copies_needed(use["use_copies"]),
        )


class AnswerFilter(forms.Form):
    """Which answers a list shows."""

    answer = forms.ChoiceField(required=False, choices=[("", "All"), *((each.value, each.value) for each in Answer)])
