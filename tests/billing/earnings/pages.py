from django.urls import reverse

from billing.costs.queries import cost_year_of
from tests.billing.earnings.test_queries import billed
from tests.factories.costs import cost_year
from tests.house.pages import Page, Panel


def year(rows: int) -> str:
    for _ in range(rows):
        billed()
    if cost_year_of(2026) is None:
        cost_year(2026)
    return reverse("cost_earned", args=[2026])


def shoot(name: str) -> str:
    return reverse(name, args=[billed()[0].shoot_id])


PAGES = {
    "cost_earned": Panel(year, lists=True),
    "shoot_earned_panel": Panel(lambda rows: shoot("shoot_earned_panel")),
    "worked_days": Page(lambda rows: shoot("worked_days")),
}
