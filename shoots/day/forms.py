from django import forms

from shared.words.forms import SheetForm
from shoots.day.models import Take

PRESSED = [choice for choice in Take.Outcome.choices if choice[0] != Take.Outcome.UNDO]


class PressForm(SheetForm):
    """Which of the three buttons, and why."""

    outcome = forms.ChoiceField(choices=PRESSED)
    note = forms.CharField(label="Why", max_length=200, required=False)


class OkForm(SheetForm):
    """Who says the picture will do."""

    name = forms.CharField(label="Name", max_length=120)
