from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from shared.words.forms import SheetForm


class DeliverForm(SheetForm):
    """To whom the private link goes."""

    name = forms.CharField(label="Who gets them", max_length=120, required=False)
    email = forms.EmailField(
        label="E-mail", required=False, help_text="Empty: nothing is written; copy the link yourself."
    )
    note = forms.CharField(label="A line to the client", required=False, widget=forms.Textarea({"rows": 2}))

    def terms(self) -> dict[str, Any]:
        """What was typed, as ``deliver_pictures`` takes it."""
        return dict(self.cleaned_data)


class NewLinkForm(SheetForm):
    email = forms.EmailField(label="Send the link to")


class ReceivedForm(SheetForm):
    name = forms.CharField(label=_("Your name"), max_length=120, widget=forms.TextInput({"autocomplete": "name"}))
