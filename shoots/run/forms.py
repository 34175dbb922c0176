from datetime import time
from typing import Any

from crispy_forms.layout import Layout, Row
from django import forms
from django.core.exceptions import ValidationError

from shared.words.forms import ClockField, EditedFormMixin, SheetForm, SheetModelForm
from shoots.run.activities import IN_THE_LIGHT
from shoots.run.models import Run, WantedLight
from shoots.run.sentences import minute_of

LONGEST = 12 * 60
LATEST = 18 * 60  # minutes from the call; what would be later is of the hours before it


class RunForm(EditedFormMixin, SheetModelForm):
    """What the whole day reckons with."""

    class Meta:
        model = Run
        fields = ["first_set", "strike", "break_minutes", "slack_percent", "ovens", "burners"]
        labels = {
            "first_set": "Minutes for the first set",
            "strike": "Minutes to strike and clean",
            "break_minutes": "Minutes of a break",
            "slack_percent": "Slack, per cent of the day",
            "ovens": "Shelves in the oven",
            "burners": "Burners",
        }
        help_texts = {
            "break_minutes": "One for everyone in each five hours. 0 for none.",
            "slack_percent": "Shown apart as “done by”.",
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["ovens"].min_value = self.fields["burners"].min_value = 1
        self.helper.layout = Layout(
            "version", Row("first_set", "strike"), Row("break_minutes", "slack_percent"), Row("ovens", "burners")
        )

    def clean_ovens(self) -> int:
        return self._at_least_one("ovens")

    def clean_burners(self) -> int:
        return self._at_least_one("burners")

    def _at_least_one(self, name: str) -> int:
        if self.cleaned_data[name] < 1:
            raise ValidationError("Enter 1 or more. What a step needs has to be there.")
        return int(self.cleaned_data[name])


class PinForm(forms.Form):
    """The minute, counted from the call, that something was dragged to."""

    minute = forms.IntegerField(min_value=0, max_value=LATEST)


class ActivityForm(SheetForm):
    """When something of the day begins, how long it takes, how long it lasts, and its light. An empty field is as the plan has it."""

    seen = forms.CharField(required=False, max_length=16, widget=forms.HiddenInput)
    pinned = ClockField(
        label="Begins at", required=False, help_text="Then it stays there, and the rest is planned round it."
    )
    minutes = forms.IntegerField(label="Minutes it takes", min_value=1, max_value=LONGEST, required=False)
    hold = forms.IntegerField(
        label="Minutes it can wait for the next step", min_value=0, max_value=LONGEST, required=False
    )
    light = forms.ChoiceField(label="Light", choices=WantedLight.choices, required=False)
    light_from = ClockField(label="Or light of your own from", required=False)
    light_until = ClockField(label="Until", required=False)

    def __init__(
        self,
        *args: Any,
        call: time,
        kind: str = "step",
        drafted_minutes: int = 0,
        why: str = "",
        planned: time | None = None,
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, **kwargs)
        self.call = call
        if planned is not None:
            self.fields[
                "pinned"
            ].help_text = f"Planned at {planned:%H:%M}. A time you type stays, and the rest is planned round it."
        self.fields["minutes"].help_text = f"Empty: {drafted_minutes}, {why}."
        for name in ("minutes", "hold"):
            self.fields[name].widget = forms.TextInput(
                attrs={"inputmode": "numeric", "class": "in short", "autocomplete": "off"}
            )
        has_hold, has_light = kind == "step", kind in IN_THE_LIGHT
        if not has_hold:
            del self.fields["hold"]
        if not has_light:
            del self.fields["light"]
        self.helper.layout = Layout(
            "seen",
            "pinned",
            Row("minutes", "hold") if has_hold else "minutes",
            *(["light"] if has_light else []),
            Row("light_from", "light_until"),
        )

    def clean(self) -> dict[str, Any]:
        said = super().clean() or self.cleaned_data
        for name in ("pinned", "light_from", "light_until"):
            if said.get(name) is not None and minute_of(said[name], self.call) > LATEST:
                self.add_error(
                    name,
                    f"This is before the call at {self.call:%H:%M}. Enter a later time, or an earlier call on the page of the shoot.",
                )
                said = self.cleaned_data
        since, until = said.get("light_from"), said.get("light_until")
        if (since is None) != (until is None) and not {"light_from", "light_until"} & set(self.errors):
            self.add_error("light_until" if until is None else "light_from", "Enter both ends of the light, or none.")
        elif since is not None and until is not None and minute_of(since, self.call) >= minute_of(until, self.call):
            self.add_error("light_until", "The light ends before it begins, counted from the call. Enter a later time.")
        return said

    def changed_to(self) -> dict[str, Any]:
        """The values of the action: minutes from the call, None where a field was left empty."""
        said = self.cleaned_data
        since, until = said.get("light_from"), said.get("light_until")
        return {
            "pinned": None if said.get("pinned") is None else minute_of(said["pinned"], self.call),
            "minutes": said.get("minutes"),
            "hold": said.get("hold"),
            "light": said.get("light", ""),
            "seen": said.get("seen") or None,
            "window": None
            if since is None or until is None
            else (minute_of(since, self.call), minute_of(until, self.call)),
        }
