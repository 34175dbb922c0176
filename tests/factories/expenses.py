"""Costs of a shoot, and an accepted estimate with a line marked at most to charge them under."""

from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Any

import factory

from billing.estimates.models import Estimate, EstimateLine, EstimateOption
from billing.expenses.models import Charge, Expense, Journey
from billing.rates.models import MileageRate
from tests.factories.clients import ClientPersonFactory
from tests.factories.shared import BusinessProfileFactory
from tests.factories.shoots import ShootFactory

AT = datetime(2026, 11, 20, 9, 0, tzinfo=UTC)


class ExpenseFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Expense

    what = factory.Sequence(lambda n: f"Groceries {n + 1}")
    supplier = "Lindhafen market hall"
    spent_on = date(2026, 11, 13)
    gross = Decimal("85.68")
    tax = Decimal("13.68")
    charge = Charge.AT_COST


class MileageRateFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = MileageRate
        django_get_or_create = ("name", "valid_from")

    name = "Car"
    valid_from = date(2026, 1, 1)
    rate = Decimal("0.30")


class JourneyFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Journey

    travelled_on = date(2026, 11, 14)
    from_place = "Glover Yard 9"
    to_place = "Lampwick Lane 4"
    distance = Decimal(46)
    allowance = Decimal("13.80")


def capped_line(cap: str = "60.00", **also: Any) -> EstimateLine:
    """A line *groceries, at most* of an accepted estimate; the client's orderer has an address."""
    BusinessProfileFactory()
    shoot = also.pop("shoot", None) or ShootFactory(title="Winter menu")
    ClientPersonFactory(client=shoot.client)
    estimate = Estimate.objects.create(number="E-2026-047", shoot=shoot, made_at=AT)
    option = EstimateOption.objects.create(estimate=estimate, letter="A", title="Six pictures")
    line = EstimateLine.objects.create(
        option=option,
        kind="food_and_props",
        what="Groceries and props",
        unit_price=Decimal(cap),
        is_at_most=True,
        is_at_cost=True,
        **also,
    )
    Estimate.objects.filter(pk=estimate.pk).update(state="accepted", accepted_option=option)
    line.refresh_from_db()
    return line
