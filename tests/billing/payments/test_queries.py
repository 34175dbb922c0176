from datetime import UTC, date, datetime, timedelta
from decimal import Decimal as D

import pytest

from billing.invoices.models import Invoice
from billing.invoices.queries import standing_of, with_paid
from billing.months.actions import bill_job
from billing.orders.actions import call_off_shoot
from billing.payments.actions import record_payment, remind_of_invoice
from billing.payments.queries import (
    deposits_in_doubt,
    job_paid_on,
    payments_of_month,
    received_in,
    reminders_due,
    settlement_of,
    with_papers,
)
from tests.factories.invoices import DAY, MONTH_END, agreed, deposit, issued


def to_send(on):
    return with_papers(reminders_due(on))


pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("quick_papers")]


def test_the_list_and_the_settlement_agree():
    invoice = issued()
    for amount, on in (("1000", DAY), ("1474.15", DAY + timedelta(days=1)), ("5", DAY + timedelta(days=2))):
        record_payment(invoice, amount=D(amount), received_on=on, at=MONTH_END + timedelta(days=3))
        row = with_paid(Invoice.objects.filter(pk=invoice.pk)).get()
        late = date(2026, 12, 20)
        assert max(standing_of(row, late).left, 0) == settlement_of(row, late).left


def test_reminders_come_a_week_after_the_due_day_and_not_twice():
    invoice = issued()
    assert to_send(date(2026, 12, 20)) == []
    ((found, settlement, step),) = to_send(date(2026, 12, 21))
    assert (found, settlement.days_late, step) == (invoice, 7, 1)
    remind_of_invoice(invoice, at=MONTH_END + timedelta(days=21))
    assert to_send(date(2026, 12, 21)) == []


def test_reminders_cost_the_same_queries_for_one_late_invoice_and_for_three(django_assert_max_num_queries):
    def late_and_reminded():
        remind_of_invoice(issued(), at=MONTH_END + timedelta(days=21))

    late_and_reminded()
    with django_assert_max_num_queries(100) as one:
        assert len(to_send(date(2027, 1, 11))) == 1
    late_and_reminded()
    late_and_reminded()
    with django_assert_max_num_queries(len(one)):
        assert len(to_send(date(2027, 1, 11))) == 3


def test_a_job_is_paid_when_deposit_and_invoice_are():
    estimate = agreed(terms={"deposit_percent": D(40)})
    first = deposit(estimate)
    record_payment(first, amount=first.to_pay, received_on=DAY, at=MONTH_END)
    assert job_paid_on(first, DAY) is None
    last = issued(job_key=f"estimate:{estimate.number}", estimate=estimate.pk, shoot=estimate.shoot_id)
    assert job_paid_on(last, DAY) is None
    record_payment(last, amount=last.to_pay, received_on=DAY, at=MONTH_END)
    assert job_paid_on(last, DAY) == DAY


def test_money_is_counted_in_the_month_it_came():
    invoice = issued()
    record_payment(invoice, amount=D(100), received_on=date(2026, 11, 30), at=MONTH_END)
    november, december = date(2026, 11, 1), date(2026, 12, 1)
    assert received_in(november, december) == {"EUR": D("100.00")}
    assert payments_of_month(december, date(2027, 1, 1)).count() == 0


def test_a_deposit_of_a_cancelled_shoot_is_not_reminded_of_until_the_fee_deducts_it():
    estimate, late = agreed(terms={"deposit_percent": D(30)}), date(2026, 12, 20)
    first = deposit(estimate)
    assert [row.number for row, _, _ in to_send(late)] == [first.number]
    at = datetime(2026, 11, 13, 9, tzinfo=UTC)
    fee = call_off_shoot(estimate, kind="cancelled", reason="Kitchen flooded", by="Tindra", at=at)
    assert to_send(late) == []
    bill_job(f"cancellation:{fee.pk}", issued_on=at.date(), at=at)
    assert first.number in [row.number for row, _, _ in to_send(late)]


def test_a_fee_for_putting_the_shoot_off_leaves_the_deposit_in_doubt():
    estimate, at = agreed(terms={"deposit_percent": D(30)}), datetime(2026, 11, 13, 9, tzinfo=UTC)
    first = deposit(estimate)
    fee = call_off_shoot(estimate, kind="postponed", reason="Kitchen flooded", by="", at=at)
    bill_job(f"cancellation:{fee.pk}", issued_on=at.date(), at=at)
    assert not Invoice.objects.filter(deposits_in_doubt()).exists()
    call_off_shoot(estimate, kind="cancelled", reason="Kitchen stays flooded", by="", at=at)
    assert list(Invoice.objects.filter(deposits_in_doubt())) == [first]
