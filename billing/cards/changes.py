"""Two rate cards side by side: what differs, by name, old and new as a person reads them."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from billing.rates.actions import RATE_FIELDS
from billing.rates.forms import UNITS, RateCardForm
from billing.rates.models import RateCard
from billing.rates.queries import usage_money, usage_rows
from shared.words import formats

MONEY_ROWS = {
    "base": "Base fee",
    "minimum": "Minimum",
    "step": "Rounded up to a multiple of",
    "handling": "Handling, when a use is changed later",
}
NOTHING = "—"
REST = "Every other country"
FIRST_DAY = "valid_from"


@dataclass(frozen=True, slots=True)
class Change:
    """One value that differs. ``NOTHING`` where a card has no such line."""

    section: str
    name: str
    old: str
    new: str


def card_changes(old: RateCard, new: RateCard) -> tuple[Change, ...]:
    """What differs between two rate cards, the first day left out. Neither need be saved."""
    changes = [
        Change("Rates and terms", label, before, after)
        for (label, before), (_, after) in zip(_rates(old), _rates(new), strict=True)
        if before != after
    ]
    for (section, before), (_, after) in zip(_usage(old), _usage(new), strict=True):
        changes += _different(section, before, after)
    return tuple(changes)


def _rates(card: RateCard) -> list[tuple[str, str]]:
    labels = RateCardForm.Meta.labels
    return [(labels[name], _written(card, name)) for name in RATE_FIELDS if name != FIRST_DAY]


def _written(card: RateCard, name: str) -> str:
    value, unit = getattr(card, name), UNITS.get(name, "")
    if name == "currency":
        return str(value)
    if isinstance(value, bool):
        return "Yes" if value else "No"
    if unit == "%":
        return formats.percent(value, "en")
    if name.endswith("_rate"):
        return f"{formats.rate(value, card.currency, '', 'en')} {unit}".strip()
    return f"{formats.number(value, 'en')} {unit}".strip()


def _usage(card: RateCard) -> list[tuple[str, dict[str, str]]]:
    money = {MONEY_ROWS[name]: formats.money(value, card.currency, "en") for name, value in usage_money(card).items()}
    return [("Usage fees", money), *((section, dict(rows)) for section, rows in usage_rows(card))]


def _different(section: str, before: Mapping[str, str], after: Mapping[str, str]) -> Iterable[Change]:
    """A country without a line of its own has the factor of every other country."""
    old_rest, new_rest = before.get(REST, NOTHING), after.get(REST, NOTHING)
    for name in dict.fromkeys([*before, *after]):
        old, new = before.get(name, old_rest), after.get(name, new_rest)
        if old != new:
            yield Change(section, name, old, new)
