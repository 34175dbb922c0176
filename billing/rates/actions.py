from collections.abc import Mapping
from datetime import date
from itertools import takewhile
from typing import Any

from django.db import IntegrityError, transaction

from billing.rates.card import Card, CardCheck, card_data, check_card
from billing.rates.models import RATE_FIELDS, MileageRate, RateCard
from billing.rates.queries import rate_card_on, rates_in_force, usage_history, usage_kept
from shared.edits import save_edit
from shared.errors import Refusal
from shoots.uses.media_tree import MEDIA
from shoots.uses.territory_tree import TERRITORIES


class RatesFromThatDay(Refusal):
    """There is a rate card from the same day already."""

    def __init__(self, card: RateCard) -> None:
        self.card = card
        super().__init__(
            f"There are rates from {card.valid_from:%-d %b %Y} already.",
            "Nothing was saved.",
            "Choose another first day, or change the rates of that day.",
        )


class UsageFeesFromThatDay(Refusal):
    """There are usage fees from the same day already."""

    def __init__(self, valid_from: date) -> None:
        super().__init__(
            f"There are usage fees from {valid_from:%-d %b %Y} already.",
            "Nothing was saved.",
            "Choose another first day, or correct the fees of that day.",
        )


class UsageFeesUnchanged(Refusal):
    """The usage fees are those that count on that day anyway."""

    def __init__(self, valid_from: date) -> None:
        super().__init__(
            f"These are the usage fees that count on {valid_from:%-d %b %Y} already.",
            "Nothing was saved.",
            "Change a figure, or leave without saving.",
        )


class UnfairUsageCard(Refusal):
    """A usage card whose fees would contradict each other. ``check`` holds each remark."""

    def __init__(self, check: CardCheck) -> None:
        self.check = check
        super().__init__(
            f"These usage fees contradict each other: {check.errors[0].sentence}",
            "Nothing was saved.",
            "Change the figure and save again.",
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
    fresh = RateCard(**{name: values[name] for name in RATE_FIELDS}, usage=before.usage if before else {})
    try:
        with transaction.atomic():
            fresh.save(force_insert=True)
    except IntegrityError:  # somebody else saved one between the look and the writing
        raise RatesFromThatDay(fresh) from None
    return fresh


@transaction.atomic
def set_usage_card(card: RateCard, usage: Card, *, version: int) -> RateCard:
    """Saves the usage fees of ``card``. Later rate cards that only carried on its old fees carry on the new ones.

    Raises ``UnfairUsageCard``, ``EditedMeanwhile``.
    """
    _refuse_unfair(usage)
    before = usage_kept(card)
    card.usage = card_data(usage)
    saved = save_edit(card, ["usage"], version=version)
    _carry_on(card, before)
    return saved


@transaction.atomic
def start_usage_card(usage: Card, *, valid_from: date) -> RateCard:
    """New usage fees from a day on: the rates of that day stay, the fees change. Estimates already drafted keep theirs.

    A rate card of that very day takes them if it only carried on the fees before it. Later rate cards carry them on up to the next
    ones with fees of their own. Raises ``UnfairUsageCard``, ``UsageFeesFromThatDay``, ``UsageFeesUnchanged``.
    """
    _refuse_unfair(usage)
    if card_data(usage) == usage_kept(rate_card_on(valid_from)):
        raise UsageFeesUnchanged(valid_from)
    twin = RateCard.objects.select_for_update().filter(valid_from=valid_from).first()
    if twin is not None:
        if twin.usage and any(each.card == twin for each in usage_history()):
            raise UsageFeesFromThatDay(valid_from)
        return set_usage_card(twin, usage, version=twin.version)
    current = rates_in_force(valid_from)
    values = {name: getattr(current, name) for name in RATE_FIELDS} | {"valid_from": valid_from}
    card = RateCard.objects.create(**values, usage=card_data(usage))
    _carry_on(card, usage_kept(current))
    return card


def _refuse_unfair(usage: Card) -> None:
    check = check_card(usage, media=MEDIA.nodes, territories=TERRITORIES.nodes)
    if not check.is_fair:
        raise UnfairUsageCard(check)


def _carry_on(card: RateCard, before: Mapping[str, Any]) -> None:
    """Hands the fees of ``card`` to the rate cards after it that have those of ``before``, up to the first with fees of its own."""
    later = RateCard.objects.select_for_update().filter(valid_from__gt=card.valid_from).order_by("valid_from")
    for each in takewhile(lambda each: usage_kept(each) == before, later):
        each.usage = card.usage
        save_edit(each, ["usage"], version=each.version)


@transaction.atomic
def set_mileage_rate(values: Mapping[str, Any]) -> MileageRate:
    """Adds a rate for own travel from a day on, or replaces the one of that name and day."""
    rate, _is_new = MileageRate.objects.update_or_create(
        name=values["name"], valid_from=values["valid_from"],
        defaults={each: values[each] for each in ("unit", "rate", "threshold", "rate_above", "source")},
    )  # fmt: skip
    return rate
