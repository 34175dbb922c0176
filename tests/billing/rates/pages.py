from datetime import date

from django.urls import reverse

from tests.factories.billing import MileageRateFactory, RateCardFactory
from tests.house.pages import Page


def rates(rows: int) -> str:
    for row in range(rows):
        RateCardFactory(valid_from=date(2026, 1, row + 1))
        MileageRateFactory(valid_from=date(2026, 1, row + 1))
    return reverse("rates")


PAGES = {
    "rates": Page(rates, lists=True),
    "new_rates": Page(lambda rows: reverse("new_rates")),
    "edit_rates": Page(lambda rows: reverse("edit_rates", args=[RateCardFactory().pk])),
    "new_mileage_rate": Page(lambda rows: reverse("new_mileage_rate")),
}
