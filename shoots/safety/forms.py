from collections.abc import Iterable
from typing import Any

from crispy_forms.layout import Layout
from django import forms

from shared.words.forms import SheetForm
from shoots.safety.lists import Line


class TickForm(SheetForm):
    """Open lines of a list, ticked by one name."""

    items = forms.MultipleChoiceField(
        label="Looked at",
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": "Nothing is ticked yet. Tick what you looked at."},
    )
    name = forms.CharField(
        label="Ticked by",
        max_length=120,
        error_messages={"required": "Nothing was ticked: the name is missing. Enter who looked."},
    )

    def __init__(self, *args: Any, lines: Iterable[Line], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["items"].choices = [(line.key, f"{line.words}. {line.help}") for line in lines]
        self.helper.layout = Layout("items", "name")
