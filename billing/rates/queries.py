from collections.abc import Callable
from datetime import date

from django.db.models import QuerySet

from billing.rates.card import Card, PriceTree, read_card, written
from billing.rates.models import MileageRate, RateCard
from billing.rates.starting_card import STARTING_CARD
from shoots.uses.media_tree import medium_name
from shoots.uses.sentences import territory_name


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


def mileage_rates() -> QuerySet[MileageRate]:
    """The rates for own travel in the books, the newest first."""
    return MileageRate.objects.order_by("name", "-valid_from")


def usage_card(card: RateCard | None) -> Card:
    """The usage-fee card of a rate card; the shipped one where the studio has none of its own."""
    return read_card(card.usage) if card and card.usage else STARTING_CARD


def usage_rows(card: RateCard | None) -> list[tuple[str, list[tuple[str, str]]]]:
    """The usage-fee card as it is read on the page: sections of names and factors. Countries at the common factor are one row."""
    usage = usage_card(card)
    return [
        (
            "Base, minimum, step, handling",
            [(name.capitalize(), written(getattr(usage, name))) for name in ("base", "minimum", "step", "handling")],
        ),
        ("Class", _factors(usage.classes, str)),
        ("Medium", _factors(usage.media, lambda code: medium_name(code, "en"))),
        ("Territory", _territories(usage.territories)),
        (
            "Term in months",
            [
                *((str(months), written(factor)) for months, factor in usage.term),
                ("Without end", written(usage.term_perpetual)),
            ],
        ),
        ("Exclusivity", [(kind, written(factor)) for kind, factor in usage.exclusivity.items()]),
        ("Pictures, each", [(_band(limit), written(factor)) for limit, factor in usage.picture_bands]),
        ("Copies", [(_band(limit), written(factor)) for limit, factor in usage.copy_bands]),
    ]


def _factors(prices: PriceTree, name: Callable[[str], str]) -> list[tuple[str, str]]:
    return [(name(code), written(node.factor)) for code, node in prices.nodes.items()]


def _territories(prices: PriceTree) -> list[tuple[str, str]]:
    factors = [node.factor for node in prices.nodes.values()]
    common = max(set(factors), key=factors.count)
    rows = [
        (territory_name(code, "en"), written(node.factor))
        for code, node in prices.nodes.items()
        if node.factor != common
    ]
    return [*rows, (f"{factors.count(common)} other countries", written(common))]


def _band(limit: int | None) -> str:
    return "Without limit" if limit is None else f"Up to {limit:,}"
