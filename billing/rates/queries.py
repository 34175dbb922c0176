from datetime import date

from django.db.models import QuerySet

from billing.rates.models import MileageRate, RateCard


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
