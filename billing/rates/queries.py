import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from functools import lru_cache
from typing import Any

from django.db.models import QuerySet

from billing.rates.card import Card, card_data, read_card, with_own_codes, written
from billing.rates.examples import code_in_words, decimal_of
from billing.rates.models import RATE_FIELDS, MileageRate, RateCard
from billing.rates.sheet import CLASSES, COUNTRY_LINES, FIGURES, LAST, MEDIA_CODES, WIDE, row_of, sheet_of
from billing.rates.starting_card import STARTING_CARD
from shoots.uses.shipped import IN_FORCE

EXCLUSIVE = {"none": "Nobody", "trade": "Other firms of the same trade", "picture": "Everybody else"}


def rate_cards() -> QuerySet[RateCard]:
    """All rate cards, the newest first."""
    return RateCard.objects.order_by("-valid_from")


def rate_card_on(on: date) -> RateCard | None:
    """The card of a day: the newest not after it, or the first one for days before there was any; None while there is none."""
    return RateCard.objects.filter(valid_from__lte=on).last() or RateCard.objects.first()


def starting_rates(on: date) -> RateCard:
    """The rates of somebody who has set none: starting values, common practice, no source. Not saved."""
    card = RateCard(valid_from=on)
    card.clean_fields()
    return card


def has_starting_rates(card: RateCard) -> bool:
    """Whether every rate and term is still the starting value."""
    start = starting_rates(card.valid_from)
    return all(getattr(card, name) == getattr(start, name) for name in RATE_FIELDS if name != "valid_from")


def rates_in_force(on: date) -> RateCard:
    """What is reckoned by on a day: the studio's own card, or the starting rates where it has none."""
    return rate_card_on(on) or starting_rates(on)


def mileage_rates() -> QuerySet[MileageRate]:
    """The rates for own travel in the books, the newest first."""
    return MileageRate.objects.order_by("name", "-valid_from")


def usage_card(card: RateCard | None) -> Card:
    """The usage-fee card of a rate card; the shipped one where the studio has none of its own. Media and regions the studio added cost
    what lies above them."""
    kept = _card_in(json.dumps(card.usage)) if card and card.usage else STARTING_CARD
    return with_own_codes(kept, IN_FORCE)


@lru_cache(maxsize=32)
def _card_in(usage: str) -> Card:
    """A page asks for one card several times, and a card is hundreds of exact figures to read; it is frozen once read."""
    return read_card(json.loads(usage))


def usage_kept(card: RateCard | None) -> Mapping[str, Any]:
    """The usage-fee card of a rate card as data, to tell whether two are the same."""
    return card.usage if card and card.usage else card_data(STARTING_CARD)


def frozen_card(card: RateCard) -> dict[str, Any]:
    """A rate card with its usage fees as data, for a paper that goes by it for good. ``card_from_frozen`` is its mirror."""
    return {name: str(getattr(card, name)) for name in RATE_FIELDS} | {"usage": dict(usage_kept(card))}


def card_from_frozen(kept: Mapping[str, Any]) -> RateCard:
    """The rate card that was frozen, as a row that is never saved."""
    card = RateCard(**{name: kept[name] for name in RATE_FIELDS if name in kept}, usage=kept["usage"])
    card.clean_fields(exclude=["usage"])
    return card


@dataclass(frozen=True, slots=True)
class UsageFees:
    """Usage fees, the rate card they begin with and their last day (None: nothing follows). ``is_own``: the studio set them."""

    card: RateCard
    last_on: date | None
    is_own: bool

    @property
    def money(self) -> dict[str, Decimal]:
        return usage_money(self.card)


def usage_money(card: RateCard | None) -> dict[str, Decimal]:
    """Base, minimum, step and handling of a usage-fee card as sums of money."""
    usage = usage_card(card)
    return {name: decimal_of(getattr(usage, name)) for name in FIGURES}


def usage_history() -> list[UsageFees]:
    """From which days on usage fees counted, the newest first: a rate card that only carried on the fees before it is none."""
    heads: list[RateCard] = []
    for card in RateCard.objects.order_by("valid_from"):
        if not heads or usage_kept(card) != usage_kept(heads[-1]):
            heads.append(card)
    ends = [*(later.valid_from - timedelta(days=1) for later in heads[1:]), None]
    found = [
        UsageFees(card, last_on, is_own=usage_kept(card) != usage_kept(None))
        for card, last_on in zip(heads, ends, strict=False)
    ]
    return found[::-1]


def usage_in_force(history: Sequence[UsageFees], on: date) -> UsageFees | None:
    """Which of ``usage_history`` counts on a day: as ``rate_card_on``, the first one before there was any."""
    begun = [each for each in history if each.card.valid_from <= on]
    return begun[0] if begun else history[-1] if history else None


def usage_rows(card: RateCard | None) -> list[tuple[str, list[tuple[str, str]]]]:
    """The usage-fee card as it is read on the page: sections of names and factors. Countries at the common factor are one row."""
    usage = usage_card(card)
    sheet = sheet_of(usage)
    rest = sheet.figures[LAST[COUNTRY_LINES]]
    countries = [
        (code_in_words("territories", code), written(factor)) for codes, factor in sheet.countries for code in codes
    ]
    return [
        ("What it is for", [(code_in_words("classes", code), written(sheet.figures[row_of("classes", code)])) for code in CLASSES]),
        ("Where it is shown", [(code_in_words("media", code), written(sheet.figures[row_of("media", code)])) for code in MEDIA_CODES]),
        (
            "In which countries",
            [
                *((code_in_words("territories", code), written(sheet.figures[row_of("territories", code)])) for code in WIDE),
                *countries,
                ("Every other country", written(rest)),
            ],
        ),
        (
            "For how long",
            [
                *((_months(months), written(factor)) for months, factor in usage.term),
                ("Without end", written(usage.term_perpetual)),
            ],
        ),
        ("Who is shut out", [(EXCLUSIVE[kind], written(usage.exclusivity[kind])) for kind in EXCLUSIVE]),
        ("How many pictures, each", [(_band(limit), written(factor)) for limit, factor in usage.picture_bands]),
        ("How many copies in print", [(_band(limit), written(factor)) for limit, factor in usage.copy_bands]),
    ]  # fmt: skip


def _months(months: int) -> str:
    return "At the start" if not months else f"{months} month{'' if months == 1 else 's'}"


def _band(limit: int | None) -> str:
    return "More" if limit is None else f"Up to {limit:,}"
