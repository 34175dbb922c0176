from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from shared.words.forms import DayField, SheetForm


class SendForm(SheetForm):
    """To whom the estimate goes."""

    to_name = forms.CharField(label="Name", max_length=120)
    to = forms.EmailField(label="E-mail")
    signed_by = forms.CharField(
        label="Sign the exclusive licence with your full name", max_length=120, required=False,
        help_text="An exclusive licence needs the photographer’s own signature in several countries. Typed, it is a simple electronic signature.",
    )  # fmt: skip

    def __init__(self, *args: Any, needs_signature: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if not needs_signature:
            del self.fields["signed_by"]
        else:
            self.fields["signed_by"].required = True


class OfferForm(SheetForm):
    """What the client fills in to accept: one option, its optional lines, name, role and order number."""

    option = forms.ChoiceField(label=_("Option"), error_messages={"required": _("Choose one of the options first.")})
    lines = forms.MultipleChoiceField(label=_("Added by you"), required=False)
    name = forms.CharField(
        label=_("Your full name"), max_length=120, widget=forms.TextInput(attrs={"autocomplete": "name"})
    )
    role = forms.CharField(
        label=_("Your role"), max_length=80, widget=forms.TextInput(attrs={"autocomplete": "organization-title"})
    )
    order_number = forms.CharField(label=_("Order number"), max_length=60, required=False)
    may_order = forms.BooleanField(label=_("I may order and I have read the terms"))

    def __init__(
        self, *args: Any, letters: list[str], keys: list[str], client_name: str, needs_order_number: bool, **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        self.fields["option"].choices = [(letter, letter) for letter in letters]
        self.chosen_letters = self.data.getlist("option") if hasattr(self.data, "getlist") else []
        self.fields["lines"].choices = [(key, key) for key in keys]
        self.fields["may_order"].label = _("I may order for %(client)s and I have read the terms") % {
            "client": client_name
        }
        self.fields["order_number"].required = needs_order_number
        self.fields["order_number"].error_messages["required"] = _(
            "%(client)s needs an order number on its invoices. Enter it."
        ) % {"client": client_name}

    def clean_option(self) -> str:
        if len(set(self.chosen_letters)) > 1:  # a browser sends one; a list would be read as its last
            raise forms.ValidationError(
                _("More than one option came in at once. Nothing was ordered. Choose one of the options.")
            )
        return str(self.cleaned_data["option"])


class DeclineForm(SheetForm):
    """Why the client says no."""

    reason = forms.CharField(label=_("Why, in a few words"), max_length=500, widget=forms.Textarea(attrs={"rows": 3}))


class QuestionForm(SheetForm):
    """A question about the estimate."""

    asker = forms.CharField(
        label=_("Your name"), max_length=120, required=False, widget=forms.TextInput(attrs={"autocomplete": "name"})
    )
    text = forms.CharField(label=_("Your question"), max_length=2000, widget=forms.Textarea(attrs={"rows": 3}))


class CallOffForm(SheetForm):
    """Cancelling or postponing a confirmed shoot by its accepted terms."""

    kind = forms.ChoiceField(
        label="What happens",
        choices=(
            ("cancelled", "Cancel the shoot"),
            ("postponed", "Postpone it"),
            ("weather", "Postpone it for weather"),
        ),
        widget=forms.RadioSelect,
    )
    new_first_on = DayField(label="New day, if postponed and known", required=False)
    reason = forms.CharField(label="Reason", max_length=300)

    def __init__(self, *args: Any, is_weather_free: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if not is_weather_free:
            self.fields["kind"].choices = [choice for choice in self.fields["kind"].choices if choice[0] != "weather"]
