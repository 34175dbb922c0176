from datetime import date
from decimal import Decimal as D

import pytest

from billing.invoices.actions import cancel_by_credit_note, send_invoice
from billing.invoices.queries import (
    address_for_invoices,
    invoices_listed,
    invoices_owed,
    licences_waiting_for,
    may_bill_deposit_again,
    missing_for,
    owed_rows,
    papers_named,
    papers_of_estimates,
    standing_of,
    total_left,
)
from billing.payments.actions import record_payment
from shared.business.queries import current_business
from shoots.brief.actions import cancel_shoot
from tests.factories.clients import ClientFactory, ClientPersonFactory, PersonFactory
from tests.factories.invoices import DAY, MONTH_END, deposit, draft, issued
from tests.factories.shared import BusinessProfileFactory

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("quick_papers")]
LATER = date(2026, 12, 20)


def pay(invoice, amount):
    record_payment(invoice, amount=D(amount), received_on=DAY, at=MONTH_END)


def test_papers_are_found_by_state_number_client_and_job():
    client = ClientFactory(name="Kvernmoor Mill", invoice_email="mill@kvernmoor.example")
    paid, part, open_one, gone = issued(client), issued(title="Rye week"), issued(), issued()
    pay(paid, "2474.15")
    pay(part, "1000.10")
    send_invoice(open_one, at=MONTH_END)
    note = cancel_by_credit_note(gone, reason="", at=MONTH_END)

    def numbers(**asked):
        return {row.number for row in invoices_listed(on=LATER, **asked)}

    assert numbers(state="paid") == {paid.number}
    assert numbers(state="part_paid") == {part.number}
    assert numbers(state="late") == numbers(state="owed") == {part.number, open_one.number}
    assert numbers(state="cancelled") == {gone.number}
    assert numbers(state="credit_notes") == {note.number}
    assert open_one.number not in numbers(state="not_sent")
    assert numbers(text="kvernmoor") == {paid.number}
    assert len(numbers()) == 5


def test_three_part_payments_that_make_the_sum_leave_nothing():
    invoice = issued()
    for part in ("1458.21", "1000.00", "15.94"):
        pay(invoice, part)
    (row,) = invoices_listed(on=LATER)
    assert (standing_of(row, LATER).word, list(invoices_owed())) == ("Paid", [])


def test_what_is_owed_adds_up_per_currency():
    pay(issued(), "1000")
    issued(currency="GBP")
    assert total_left(invoices_owed()) == total_left(owed_rows()) == {"EUR": D("1474.15"), "GBP": D("2474.15")}


def test_papers_are_named_in_the_order_of_their_keys():
    first, second, third = issued(), issued(), issued()
    assert papers_named([third.pk, first.pk]) == [third, first]
    assert [row.pk for row in owed_rows()] == [row.pk for row in invoices_owed()] == [first.pk, second.pk, third.pk]


def test_invoices_go_to_their_own_address_or_to_whoever_pays():
    client = ClientFactory()
    assert address_for_invoices(client) == ""
    ClientPersonFactory(client=client, person=PersonFactory(email="maro@walnut-lantern.example"))
    ClientPersonFactory(client=client, person=PersonFactory(email="till@walnut-lantern.example"), pays=True)
    assert address_for_invoices(client) == "till@walnut-lantern.example"
    client.invoice_email = "books@walnut-lantern.example"
    assert address_for_invoices(client) == "books@walnut-lantern.example"


def test_a_small_business_needs_its_wording():
    wanted = draft()
    business = current_business(DAY)
    assert missing_for(wanted, business, ClientFactory()) == ()
    business.is_small_business, business.exemption_wording_en = True, ""
    assert [each.point for each in missing_for(wanted, business, ClientFactory())] == ["226(11)"]


def test_a_cancelled_deposit_may_be_asked_for_again():
    BusinessProfileFactory()
    first = deposit()
    assert not may_bill_deposit_again(first)
    cancel_by_credit_note(first, reason="", at=MONTH_END)
    first.refresh_from_db()
    assert may_bill_deposit_again(first)


def test_a_cancelled_deposit_of_a_cancelled_shoot_is_not_asked_for_again():
    first = deposit()
    cancel_by_credit_note(first, reason="", at=MONTH_END)
    cancel_shoot(first.shoot, reason="Kitchen flooded", by="", at=MONTH_END)
    first.refresh_from_db()
    assert not may_bill_deposit_again(first)


def test_the_papers_of_estimates_are_deposits_and_invoices_and_no_fee_for_putting_off():
    first = deposit()
    issued(first.client, job_key="cancellation:7", estimate=first.estimate_id, shoot=first.shoot_id)
    issued(first.client)
    assert list(papers_of_estimates()) == [first]


def test_an_invoice_without_an_estimate_waits_for_no_licence():
    assert list(licences_waiting_for(issued())) == []
