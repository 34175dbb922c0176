from django.urls import reverse
from django.utils import timezone

from billing.costs.models import CostYear
from tests.billing.estimates.pages import draft
from tests.factories.costs import cost_year
from tests.house.pages import Page, Panel


def budget(rows: int) -> str:
    return reverse("estimate_budget", args=[draft(rows).pk]) + "?budget=1200&option=A"


def margin(rows: int) -> str:
    if not CostYear.objects.exists():
        cost_year(timezone.now().year)
    return reverse("estimate_margin_panel", args=[draft(rows).pk])


PAGES = {"estimate_budget": Page(budget, lists=True), "estimate_margin_panel": Panel(margin, lists=True)}
