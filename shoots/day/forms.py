from django import forms

from shared.words.forms import SheetForm
from shoots.day.holding import END_OF_DAY, Limit
from shoots.day.models import Take
from shoots.day.sending import LONGEST_CLOCK

PRESSED = [choice for choice in Take.Outcome.choices if choice[0] != Take.Outcome.UNDO]


class PressForm(SheetForm):
    """Which of the three buttons, and why."""

    outcome = forms.ChoiceField(choices=PRESSED)
    note = forms.CharField(label="Why", max_length=200, required=False)


class OkForm(SheetForm):
    """Who says the picture will do."""

    name = forms.CharField(label="Name", max_length=120)


class MarkForm(SheetForm):
    """What else may be marked on a page without JavaScript: a note, an unplanned shot, a clock begun or ended, an undo."""

    kind = forms.ChoiceField(choices=[(kind, kind) for kind in ("note", "unplanned", "plated", "cleared", "undo")])
    shot = forms.IntegerField(min_value=1, required=False)
    note = forms.CharField(max_length=200, required=False)
    clock = forms.CharField(max_length=20, required=False)
    about = forms.UUIDField(required=False)


class TickForm(SheetForm):
    """Who ticks a line of the end of the day, or takes the tick back."""

    item = forms.ChoiceField(choices=[(item.key, item.words) for item in END_OF_DAY])
    name = forms.CharField(
        label="Name", max_length=120, error_messages={"required": "Enter the name of whoever looked."}
    )
    about = forms.UUIDField(required=False)


class HoldLimitsForm(SheetForm):
    """Minutes for each thing that does not wait."""

    def __init__(self, *args: object, limits: tuple[Limit, ...], **kwargs: object) -> None:
        self.limits = limits
        super().__init__(*args, **kwargs)

    def lay_out(self) -> None:
        for limit in self.limits:
            self.fields[limit.key] = forms.IntegerField(
                label=f"{limit.words}, minutes", min_value=1, max_value=LONGEST_CLOCK, initial=limit.minutes
            )
        super().lay_out()
