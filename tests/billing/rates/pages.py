from dataclasses import replace
from datetime import date
from fractions import Fraction

from django.urls import reverse

from billing.rates.card import card_data
from billing.rates.starting_card import STARTING_CARD
from tests.factories.billing import MileageRateFactory, RateCardFactory
from tests.house.pages import Page, Panel


def rates(rows: int) -> str:
    for row in range(rows):
        RateCardFactory(valid_from=date(2026, 1, row + 1))
        MileageRateFactory(valid_from=date(2026, 1, row + 1))
    return reverse("rates")


def usage(rows: int) -> str:
    for row in range(rows):
        fees = replace(STARTING_CARD, base=Fraction(200 + row))
        RateCardFactory(valid_from=date(2026, 1, row + 1), usage=card_data(fees))
    return reverse("usage_fees")


PAGES = {
    "rates": Page(rates, lists=True),
    "new_rates": Page(lambda rows: reverse("new_rates")),
    "edit_rates": Page(lambda rows: reverse("edit_rates", args=[RateCardFactory().pk])),
    "usage_fees": Page(usage, lists=True),
    "new_usage_fees": Page(lambda rows: reverse("new_usage_fees")),
    "edit_usage_fees": Page(lambda rows: reverse("edit_usage_fees", args=[RateCardFactory().pk])),
    "usage_example": Panel(lambda rows: reverse("usage_example")),
    "new_mileage_rate": Page(lambda rows: reverse("new_mileage_rate")),
}
