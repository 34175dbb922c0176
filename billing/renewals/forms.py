from collections.abc import Iterable
from decimal import Decimal
from typing import Any

from django import forms

from billing.renewals.actions import Renewal
from billing.renewals.queries import Choice, Ending
from shared.words import formats
from shared.words.formats import with_capital
from shared.words.forms import ChoiceCards, SheetForm
from shoots.uses.intended import ENDLESS

WITHIN = [("30", "30 days"), ("60", "60 days"), ("90", "90 days"), ("180", "180 days"), ("366", "A year")]


class EndingFilter(SheetForm):
    days = forms.TypedChoiceField(label="Ending within", choices=WITHIN, coerce=int, initial=60)


class DraftForm(SheetForm):
    """The renewals of one client: which licences, each for how long. One choice a licence, each with the fee that was shown."""

    licences = forms.MultipleChoiceField(
        label="Renew", widget=forms.CheckboxSelectMultiple, error_messages={"required": "No licence is ticked. Tick the licences to renew."}
    )  # fmt: skip
    write_to_client = forms.BooleanField(label="Write to the client by e-mail now", required=False)

    def __init__(self, *args: Any, endings: Iterable[Ending], currency: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.endings = {str(each.licence.pk): each for each in endings if each.choices}
        self.fields["licences"].choices = [(key, each.licence.number) for key, each in self.endings.items()]
        self.fields["licences"].initial = list(self.endings)
        for key, each in self.endings.items():
            self.fields[f"term-{key}"] = field = forms.ChoiceField(
                label=f"From {formats.day(each.licence.use_until, 'en')} for", initial=each.choices[0].key,
                choices=[(choice.key, with_capital(choice.term)) for choice in each.choices],
                widget=ChoiceCards(
                    figures={choice.key: formats.money(choice.fee, currency, "en") for choice in each.choices},
                    details={choice.key: _compared(choice, each, currency) for choice in each.choices},
                ),
                error_messages={"invalid_choice": "The fee has changed since you looked. Choose again."},
            )  # fmt: skip
            self.dress(field)

    def rows(self) -> list[tuple[Ending, Any]]:
        """Each licence with the field of its term."""
        return [(each, self[f"term-{key}"]) for key, each in self.endings.items()]

    @property
    def ticked(self) -> set[str]:
        return set(self["licences"].value() or [])

    def wanted(self) -> list[Renewal]:
        """What is to be drafted. Only after a clean form."""
        found = []
        for key in self.cleaned_data["licences"]:
            months, _, fee = (self.cleaned_data[f"term-{key}"] or self.endings[key].choices[0].key).partition(":")
            found.append(Renewal(int(key), None if months == ENDLESS else int(months), Decimal(fee)))
        return found


def _compared(choice: Choice, ending: Ending, currency: str) -> str:
    """Why somebody would take this length: *270.00 less than renewing twice*."""
    said = []
    offered = choice.offered
    is_first = choice.months == ending.choices[0].months
    if len(choice.pictures) < len(ending.pictures if is_first else ending.choices[0].pictures):
        said.append(f"For {len(choice.pictures)} of {formats.quantity(len(ending.pictures), 'picture', 'en')}.")
    if is_first:
        said.append("As long as before.")
    elif offered.instead is not None and choice.months is None:
        said.append(f"Less than {offered.times} renewals of {ending.choices[0].term}, {formats.money(offered.instead, currency, 'en')}.")  # fmt: skip
    elif offered.instead is not None:
        said.append(f"{formats.money(offered.saves, currency, 'en')} less than renewing {'twice' if offered.times == 2 else f'{offered.times} times'}.")  # fmt: skip
    return " ".join(said)
