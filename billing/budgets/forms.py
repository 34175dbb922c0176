from django import forms

from shared.words.forms import MoneyField, SheetForm


class BudgetForm(SheetForm):
    """What the client has to spend on an option, with tax."""

    budget = MoneyField(label="The client’s budget, all in", min_value=1, max_digits=10)
    option = forms.ChoiceField(label="Option")

    def __init__(self, *args: object, letters: list[str], currency: str, **kwargs: object) -> None:
        super().__init__(*args, **kwargs)
        self.fields["option"].choices = [(letter, f"Option {letter}") for letter in letters]
        self.fields["budget"].widget.unit = currency
        if len(letters) == 1:
            self.fields["option"].widget = forms.HiddenInput()
