from collections.abc import Mapping
from typing import Any

from django.db import transaction

from billing.rates.models import MileageRate, RateCard
from shared.edits import save_edit
from shared.errors import Refusal

RATE_FIELDS = (
    "valid_from", "currency", "day_rate", "half_day_rate", "hours_in_day", "overtime_rate", "preparation_rate", "finishing_rate",
    "finishing_minutes", "assistant_rate", "stylist_rate", "kit_rate", "km_rate", "markup_percent", "deposit_percent", "deposit_days",
    "tolerance_percent", "validity_days", "rounds_included", "cancellation_free_days", "cancellation_percent", "cancellation_day_percent",
    "lapse_days",
)  # fmt: skip


class RatesFromThatDay(Refusal):
    """There is a rate card from the same day already."""

    def __init__(self, card: RateCard) -> None:
        self.card = card
        super().__init__(
            f"There are rates from {card.valid_from:%-d %b %Y} already.",
            "Nothing was saved.",
            "Choose another first day, or change the rates of that day.",
        )


@transaction.atomic
def set_rates(values: Mapping[str, Any], *, card: RateCard | None = None, version: int = 0) -> RateCard:
    """Saves a rate card: a new one, or ``card`` as opened at ``version``. Estimates already drafted keep the rates they took.

    A new card carries on the usage-fee card of the one before it. Raises ``RatesFromThatDay``, ``EditedMeanwhile``.
    """
    others = RateCard.objects.filter(valid_from=values["valid_from"])
    twin = (others.exclude(pk=card.pk) if card is not None else others).first()
    if twin is not None:
        raise RatesFromThatDay(twin)
    if card is not None:
        for name in RATE_FIELDS:
            setattr(card, name, values[name])
        return save_edit(card, RATE_FIELDS, version=version)
    before = RateCard.objects.filter(valid_from__lt=values["valid_from"]).last()
    return RateCard.objects.create(**{name: values[name] for name in RATE_FIELDS}, usage=before.usage if before else {})


@transaction.atomic
def set_usage_card(card: RateCard, usage: Mapping[str, Any], *, version: int) -> RateCard:
    """Saves the usage-fee card of ``card``, already checked by ``billing.rates.fees``. Raises ``EditedMeanwhile``."""
    card.usage = dict(usage)
    return save_edit(card, ["usage"], version=version)


@transaction.atomic
def set_mileage_rate(values: Mapping[str, Any]) -> MileageRate:
    """Adds a rate for own travel from a day on, or replaces the one of that name and day."""
    rate, _is_new = MileageRate.objects.update_or_create(
        name=values["name"], valid_from=values["valid_from"],
        defaults={each: values[each] for each in ("unit", "rate", "threshold", "rate_above", "source")},
    )  # fmt: skip
    return rate
