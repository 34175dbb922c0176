from typing import Any

from django import forms

from clients.models import Trade
from clients.trades import LONGEST_TRADE, TradeRefused, read_trade
from shared.words.forms import EditedFormMixin, SheetForm
from shared.words.phrases import LICENCE_LANGUAGES


class TradeForm(SheetForm):
    """A trade: its name on the list, and what papers call it, where the studio says so."""

    name = forms.CharField(label="Name", max_length=LONGEST_TRADE, help_text="As you say it, for example coffee.")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for language, own_name in LICENCE_LANGUAGES.items():
            field = forms.CharField(label=f"On papers: {own_name}", max_length=LONGEST_TRADE, required=False)
            self.fields[language] = field
            self.dress(field)

    def clean(self) -> dict[str, Any]:
        for part in ("name", *LICENCE_LANGUAGES):
            typed = self.cleaned_data.get(part, "")
            try:
                self.cleaned_data[part] = read_trade(typed, part=part) if typed.strip() else typed
            except TradeRefused as refused:
                self.refuse(refused)
        return self.cleaned_data

    def names(self) -> dict[str, str]:
        """What papers call it, by language. Only after a clean form."""
        return {language: self.cleaned_data[language] for language in LICENCE_LANGUAGES}

    def refuse(self, refused: TradeRefused) -> None:
        """Show what cannot be at the field it is about."""
        part = refused.part if refused.part in self.fields else "name"
        self.add_error(part, f"{refused.what_happened} {refused.what_to_do}")


class RenameForm(EditedFormMixin, TradeForm):
    """The same for a trade on the list, filled in with what it is called now."""

    def __init__(self, *args: Any, instance: Trade, **kwargs: Any) -> None:
        self.instance = instance
        super().__init__(*args, initial={"name": instance.name, **instance.names}, **kwargs)


class JoinForm(SheetForm):
    """Which trade another one is joined with."""

    into = forms.ModelChoiceField(label="Join it with", queryset=Trade.objects.none(), empty_label="Choose a trade")

    def __init__(self, *args: Any, gone: Trade, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["into"].queryset = Trade.objects.exclude(pk=gone.pk)
