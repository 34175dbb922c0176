from datetime import date
from decimal import Decimal

from django.urls import reverse

from tests.factories.billing import RateCardFactory
from tests.house.pages import Page, Paper


def history(rows: int) -> str:
    for row in range(rows):
        RateCardFactory(valid_from=date(2026, 1, row + 1), day_rate=Decimal(800 + row))
    return reverse("rate_history")


TRY = (
    "?case=new&pictures=6&use_from=1+Mar+2027&use_kind=advertising&use_media=web.own&use_places=DE&use_places=AT&use_months=12&exclusivity=none"
    "&late_factor=1"
)

PAGES = {
    "rate_history": Page(history, lists=True),
    "export_rates": Paper(lambda rows: reverse("export_rates")),
    "import_rates": Page(lambda rows: reverse("import_rates")),
    "try_fee": Page(lambda rows: reverse("try_fee") + TRY),
}
