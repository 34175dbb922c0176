from datetime import date
from decimal import Decimal as D
from fractions import Fraction as F

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from billing.earnings.actions import set_worked_days
from billing.earnings.queries import earned_by, earned_in, hours_in, worked_days_of
from billing.invoices.actions import cancel_by_credit_note
from billing.months.actions import bill_job
from tests.factories.billing import RateCardFactory
from tests.factories.costs import cost_year
from tests.factories.invoices import DAY, GROCERIES, LINES, MONTH_END, agreed, cost, deposit, done, issued

pytestmark = pytest.mark.django_db
TIME = (
    {"kind": "preparation", "what": "Getting ready", "quantity": D(4), "unit": "hour", "unit_price": D(65)},
    {"kind": "finishing", "what": "Finishing", "quantity": D(4), "unit": "hour", "unit_price": D(60)},
    {"kind": "assistant", "what": "Kitchen hand", "quantity": D(1), "unit": "day", "unit_price": D(190)},
)


def billed(*, with_deposit: bool = False, **also):
    """A job of 1,640 own work (780 + 360 + 260 + 240), with a kitchen hand and groceries passed on; two days by its lines."""
    terms = {"deposit_percent": D(40)} if with_deposit else {}
    estimate = agreed(lines=(*LINES, *TIME, GROCERIES), terms=terms, **also)
    if with_deposit:
        deposit(estimate)
    estimate = done(estimate)
    cost(estimate, line_what="Groceries")
    cost(estimate, "20.00", "0.00", what="Parking")
    return estimate, bill_job(f"estimate:{estimate.number}", issued_on=DAY, by="Tindra", at=MONTH_END)


def test_own_work_by_the_days_of_the_accepted_lines_without_costs_passed_on():
    estimate, invoice = billed()
    assert invoice.net > 1640
    rows, worked = earned_by(estimate.shoot)
    assert (worked.on_set, worked.preparation, worked.finishing) == (1, F(1, 2), F(1, 2))
    assert [(row.own, row.per_day) for row in rows] == [(D(1640), D(820))]


def test_a_deposit_counts_once_inside_the_invoice_that_deducts_it():
    estimate, _invoice = billed(with_deposit=True)
    assert estimate.shoot.invoices.count() == 2
    assert [row.own for row in earned_by(estimate.shoot)[0]] == [D(1640)]


def test_a_deposit_alone_waits_for_its_invoice():
    estimate = agreed(terms={"deposit_percent": D(40)})
    deposit(estimate)
    done(estimate)
    found = earned_in(2026)
    assert (found.shoots, found.years, found.waiting) == ((), (), 1)


def test_a_credited_invoice_is_no_earning_until_it_is_billed_anew():
    estimate, invoice = billed()
    cancel_by_credit_note(invoice, reason="Wrong address", at=MONTH_END)
    assert earned_by(estimate.shoot)[0] == []
    assert earned_in(2026).waiting == 1
    bill_job(f"estimate:{estimate.number}", issued_on=DAY, by="Tindra", at=MONTH_END)
    assert [row.own for row in earned_by(estimate.shoot)[0]] == [D(1640)]


def test_what_the_photographer_typed_counts_instead():
    estimate, _invoice = billed()
    shoot = estimate.shoot
    assert worked_days_of(shoot) is None
    days = {"on_set": D(1), "preparation": D(1), "finishing": D(2)}
    set_worked_days(shoot, days, version=0, by="Tindra", at=MONTH_END)
    rows, worked = earned_by(shoot)
    assert (worked.days, worked.source, rows[0].per_day) == (4, "typed", D(410))
    assert worked_days_of(shoot).finishing == 2


def test_a_shoot_without_an_estimate_counts_the_days_of_the_calendar():
    estimate, _invoice = billed()
    shoot = estimate.shoot
    type(estimate).objects.filter(pk=estimate.pk).update(state="declined")
    assert earned_by(shoot)[1].source == "calendar"


def test_a_licence_sold_from_the_shoot_is_own_work_and_another_currency_stays_apart():
    estimate, invoice = billed()
    issued(invoice.client, shoot=estimate.shoot_id, currency="CHF")
    rows = earned_by(estimate.shoot)[0]
    assert [(row.currency, row.per_day) for row in rows] == [("CHF", None), ("EUR", None)]


def test_a_year_is_together_and_costs_the_same_with_one_shoot_and_three():
    billed()
    with CaptureQueriesContext(connection) as one:
        earned_in(2026)
    for n in range(2):
        billed(title=f"Menu {n}")
    with CaptureQueriesContext(connection) as three:
        found = earned_in(2026)
    assert len(one) == len(three)
    assert [(year.currency, year.shoots, year.per_day) for year in found.years] == [("EUR", 3, D(820))]
    assert earned_in(2025).shoots == ()


def test_hours_of_a_day_come_from_the_costs_else_the_rates():
    assert hours_in(date(2026, 5, 1)) == 8
    RateCardFactory(hours_in_day=D(9))
    assert hours_in(date(2026, 5, 1)) == 9
    cost_year(hours_in_day=D(10))
    assert hours_in(date(2026, 5, 1)) == 10
