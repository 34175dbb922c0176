from datetime import timedelta

import pytest
import time_machine
from django.urls import reverse

from billing.months.actions import bill_job
from billing.payments.models import Payment, Reminder
from tests.factories.invoices import DAY, MONTH_END, issued
from tests.factories.licences import granted

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("quick_papers")]


@pytest.fixture(autouse=True)
def in_late_december():
    with time_machine.travel(MONTH_END + timedelta(days=22), tick=False):
        yield


def typed(**change):
    return {"amount": "1,000.00", "received_on": "20 Dec 2026", "way": "received", "note": "", **change}


def test_a_part_payment_is_recorded_and_says_what_is_left(client_for, owner):
    invoice = issued()
    answer = client_for(owner).post(reverse("record_payment", args=[invoice.pk]), typed(), follow=True)
    assert "€1,474.15 is still open." in answer.content.decode()
    assert (
        "paid in full"
        in client_for(owner)
        .post(reverse("record_payment", args=[invoice.pk]), typed(amount="1474.15"), follow=True)
        .content.decode()
    )


def test_too_much_is_said(client_for, owner):
    answer = client_for(owner).post(reverse("record_payment", args=[issued().pk]), typed(amount="2500"), follow=True)
    assert "€25.85 more than owed was paid" in answer.content.decode()


@pytest.mark.parametrize("change", [{"amount": "much"}, {"received_on": "24 Dec 2026"}, {"received_on": "31.2.2026"}])
def test_a_mistake_keeps_what_was_typed(client_for, owner, change):
    answer = client_for(owner).post(reverse("record_payment", args=[issued().pk]), typed(note="By transfer", **change))
    assert (answer.status_code, b"By transfer" in answer.content) == (422, True)
    assert not Payment.objects.exists()


def test_a_payment_is_undone_and_a_reminder_sent_from_the_panel(client_for, owner):
    invoice, studio = issued(), client_for(owner)
    studio.post(reverse("record_payment", args=[invoice.pk]), typed())
    studio.post(reverse("undo_payment", args=[Payment.objects.get().pk]))
    studio.post(reverse("remind_of_invoice", args=[invoice.pk]))
    panel = studio.get(reverse("invoice_payments_panel", args=[invoice.pk])).content.decode()
    assert "undoes an earlier row" in panel
    assert "Send reminder 2 of 3" in panel
    assert (Payment.objects.count(), Reminder.objects.count()) == (2, 1)


@pytest.mark.parametrize("name", ["record_payment", "invoice_payments_panel"])
def test_the_accountant_reads_assistants_and_strangers_do_not(client_for, assistant, accountant, name):
    path = reverse(name, args=[issued().pk])
    assert client_for(accountant).get(path).status_code == 200
    assert client_for(assistant).get(path).status_code == 403
    assert client_for(None).get(path).status_code == 302
    assert client_for(accountant).post(path, typed()).status_code in (403, 405)


def test_an_undone_payment_names_the_licence_that_stays_paid(client_for, owner):
    licence, studio = granted(), client_for(owner)
    invoice = bill_job(f"licence:{licence.pk}", issued_on=DAY, at=MONTH_END)
    studio.post(reverse("record_payment", args=[invoice.pk]), typed(amount=str(invoice.to_pay)))
    answer = studio.post(reverse("undo_payment", args=[Payment.objects.get().pk]), follow=True)
    licence.refresh_from_db()
    assert licence.state == "paid"
    assert f"{licence.number} began with it and stays paid" in answer.content.decode()
