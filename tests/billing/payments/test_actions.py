from datetime import date, timedelta
from decimal import Decimal as D
from threading import Barrier, Thread

import pytest
from django.db import IntegrityError, connection, transaction

from billing.invoices.actions import cancel_by_credit_note
from billing.jobs.queries import jobs_to_bill
from billing.months.actions import bill_job
from billing.orders.actions import call_off_shoot
from billing.payments.actions import (
    NotLate,
    NotPayable,
    PaymentUndone,
    record_payment,
    remind_of_invoice,
    start_paid_licences,
    undo_payment,
)
from billing.payments.models import Payment, Reminder
from billing.payments.queries import settlement_of
from shared.evidence.queries import evidence_about
from shared.outbox.models import Message
from shoots.licences.models import Licence
from tests.factories.clients import ClientFactory
from tests.factories.invoices import DAY, MONTH_END, agreed, deposit, issued
from tests.factories.licences import granted

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("quick_papers")]
LATE = MONTH_END + timedelta(days=22)


def job_invoice():
    """The invoice of an accepted estimate, whose licence waits for the money."""
    estimate = agreed()
    return issued(job_key=f"estimate:{estimate.number}", estimate=estimate.pk, shoot=estimate.shoot_id)


def paid_licence():
    """A licence billed by itself and paid, with its invoice."""
    licence = granted()
    invoice = bill_job(f"licence:{licence.pk}", issued_on=DAY, at=MONTH_END)
    pay(invoice, invoice.to_pay)
    return licence, invoice


def state_of(licence):
    licence.refresh_from_db()
    return licence.state


def pay(invoice, amount, on=DAY, at=MONTH_END):
    return record_payment(invoice, amount=D(amount), received_on=on, at=at, by="Tindra")


def test_part_payments_add_up_and_the_last_one_starts_the_licence():
    invoice = job_invoice()
    pay(invoice, "1000")
    assert Licence.objects.get().state == "accepted"
    pay(invoice, "1474.15")
    licence = Licence.objects.get()
    assert (licence.state, licence.paid_on) == ("paid", DAY)
    assert [row.kind for row in evidence_about(f"invoice:{invoice.pk}")][-2:] == ["paid", "paid"]


def test_a_licence_is_started_once_whatever_is_paid_after():
    invoice = job_invoice()
    pay(invoice, "2474.15")
    pay(invoice, "5")
    assert start_paid_licences(invoice, at=MONTH_END) == []
    assert [row.kind for row in evidence_about(f"licence:{Licence.objects.get().pk}")].count("paid") == 1


def test_too_much_is_taken_and_can_be_paid_back():
    invoice = issued()
    pay(invoice, "2500")
    assert settlement_of(invoice, DAY).credit == D("25.85")
    pay(invoice, "-25.85")
    assert settlement_of(invoice, DAY).standing == "paid"


@pytest.mark.parametrize(("amount", "on"), [("0", DAY), ("0.001", DAY), ("10", date(2026, 12, 1))])
def test_nothing_and_money_of_tomorrow_are_refused(amount, on):
    with pytest.raises(NotPayable):
        pay(issued(), amount, on)
    assert not Payment.objects.exists()


def test_a_credit_note_is_not_paid_and_a_cancelled_invoice_only_pays_back():
    invoice = issued()
    pay(invoice, "100")
    note = cancel_by_credit_note(invoice, reason="", at=MONTH_END)
    for paper in (note, invoice):
        with pytest.raises(NotPayable):
            pay(paper, "10")
    assert pay(invoice, "-100").amount == D("-100.00")


def test_a_fee_paid_back_on_a_cancelled_invoice_ends_its_licence():
    licence, invoice = paid_licence()
    cancel_by_credit_note(invoice, reason="Not used", at=MONTH_END)
    pay(invoice, "-100")
    assert state_of(licence) == "paid"
    pay(invoice, 100 - invoice.to_pay)
    assert state_of(licence) == "refunded"
    assert jobs_to_bill(DAY) == {}


def test_a_fee_that_moves_to_the_invoice_in_place_of_a_cancelled_one_ends_nothing():
    licence, invoice = paid_licence()
    cancel_by_credit_note(invoice, reason="Wrong address", at=MONTH_END)
    again = bill_job(f"licence:{licence.pk}", issued_on=DAY, at=MONTH_END)
    pay(invoice, -invoice.to_pay)
    pay(again, again.to_pay)
    assert state_of(licence) == "paid"


def test_money_given_back_on_an_invoice_that_stands_ends_nothing():
    licence, invoice = paid_licence()
    pay(invoice, -invoice.to_pay)
    assert state_of(licence) == "paid"


def test_a_mistake_is_undone_by_a_second_row_and_only_once():
    invoice = issued()
    wrong = pay(invoice, "2474.15")
    counter = undo_payment(wrong, at=MONTH_END, by="Tindra")
    assert (counter.amount, counter.undoes) == (D("-2474.15"), wrong)
    assert settlement_of(invoice, DAY).left == D("2474.15")
    for row in (wrong, counter):
        with pytest.raises(PaymentUndone):
            undo_payment(row, at=MONTH_END)
    assert Payment.objects.count() == 2


def test_three_reminders_go_out_with_the_paper_and_no_more():
    invoice = issued()
    for week in range(3):
        remind_of_invoice(invoice, at=LATE + timedelta(days=7 * week))
    first = Message.objects.order_by("written_at").first()
    assert first.subject == "Reminder: invoice 2026-001"
    assert "€2,474.15 is still open" in first.body
    assert list(first.attachments.all()) == [invoice.paper]
    assert list(Reminder.objects.values_list("step", flat=True)) == [1, 2, 3]
    with pytest.raises(NotLate):
        remind_of_invoice(invoice, at=LATE + timedelta(days=60))


def test_who_is_not_late_has_paid_or_was_reminded_today_gets_no_reminder():
    invoice = issued()
    with pytest.raises(NotLate):
        remind_of_invoice(invoice, at=MONTH_END)
    remind_of_invoice(invoice, at=LATE)
    with pytest.raises(NotLate):
        remind_of_invoice(invoice, at=LATE + timedelta(hours=1))
    pay(invoice, "2474.15")
    with pytest.raises(NotLate):
        remind_of_invoice(invoice, at=LATE + timedelta(days=10))
    assert Reminder.objects.count() == 1


def test_without_an_address_no_reminder_is_recorded():
    with pytest.raises(NotLate):
        remind_of_invoice(issued(ClientFactory()), at=LATE)
    assert not Reminder.objects.exists()


def test_a_deposit_of_a_cancelled_shoot_is_not_reminded_of():
    estimate = agreed(terms={"deposit_percent": D(30)})
    first = deposit(estimate)
    call_off_shoot(estimate, kind="cancelled", reason="Kitchen flooded", by="", at=first.issued_at)
    with pytest.raises(NotLate, match="was cancelled"):
        remind_of_invoice(first, at=LATE)
    assert not Reminder.objects.exists()


@pytest.mark.both
def test_the_database_refuses_to_change_or_delete_a_payment():
    payment = pay(issued(), "100")
    with pytest.raises(IntegrityError), transaction.atomic():
        Payment.objects.filter(pk=payment.pk).update(amount=D(1))
    with pytest.raises(IntegrityError), transaction.atomic():
        payment.delete()


@pytest.mark.both
@pytest.mark.django_db(transaction=True)
def test_two_halves_recorded_at_once_start_the_licence_once():
    invoice, ready, wrong = job_invoice(), Barrier(2), []

    def press(amount):
        ready.wait()
        try:
            pay(invoice, amount)
        except Exception as error:
            wrong.append(error)
        finally:
            connection.close()

    threads = [Thread(target=press, args=(amount,)) for amount in ("1000", "1474.15")]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert wrong == []
    assert Licence.objects.get().state == "paid"
