from django import forms

from shared.words.forms import SheetForm


class OrderNumberForm(SheetForm):
    """The number a client wants on their invoice, typed right on the dry run."""

    job = forms.CharField(widget=forms.HiddenInput, max_length=60)
    order_number = forms.CharField(label="Order number", max_length=60)
