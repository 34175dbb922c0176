from datetime import timedelta

from django.urls import reverse
from django.utils import timezone

from tests.factories.expenses import ExpenseFactory
from tests.factories.releases import offered_release, shoot_with_cook
from tests.house.pages import Page


def _today(rows):
    day = timezone.now().date()
    for n in range(rows):
        offered_release(shoot_with_cook(first_on=day + timedelta(days=n + 1)))
        ExpenseFactory(spent_on=day)
    return reverse("today")


PAGES = {"today": Page(_today, lists=True)}
