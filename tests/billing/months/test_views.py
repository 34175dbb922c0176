from datetime import timedelta
from decimal import Decimal as D

import pytest
import time_machine
from django.urls import reverse

from billing.invoices.models import Invoice
from billing.months.actions import bill_job
from billing.orders.actions import call_off_shoot
from shared.outbox.models import Message
from shared.tables import BYTE_ORDER_MARK
from tests.factories.clients import ClientFactory
from tests.factories.expenses import JourneyFactory
from tests.factories.invoices import AGREED_AT, DAY, MONTH_END, agreed, cost, deposit, done, issued

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("quick_papers")]
MONTH = "2026-11"


@pytest.fixture(autouse=True)
def on_the_last_of_november():
    with time_machine.travel(MONTH_END, tick=False):
        yield


def url(name, *args):
    return reverse(name, args=args or [MONTH])


def spoon_and_lamp():
    """A job whose client wants an order number that nobody has entered."""
    client = ClientFactory(name="Spoon & Lamp")
    estimate = done(agreed(client=client, title="Autumn soups"))
    type(client).objects.filter(pk=client.pk).update(is_order_number_required=True)
    return f"estimate:{estimate.number}"


def test_the_dry_run_shows_what_is_ready_and_what_is_held_back_and_why(client_for, owner):
    done()
    spoon_and_lamp()
    page = client_for(owner).get(url("month_end")).content.decode().replace("\u00a0", " ")
    for part in ("Make 1 invoice", "€1,356.60", "30 Nov 2026", "14 Dec 2026", "€216.60 at 19%", "No order number"):
        assert part in page
    assert not Invoice.objects.exists()


def test_what_came_after_the_invoice_and_what_is_in_another_currency_lead_to_their_pages(client_for, owner):
    billed = done(agreed("Walnut Lantern"))
    bill_job(f"estimate:{billed.number}", issued_on=DAY, at=MONTH_END)
    late = cost(billed, what="Figs")
    JourneyFactory(shoot=billed.shoot, charge="at_cost", charge_rate=D("0.42"))
    foreign = cost(done(agreed("Spoon & Lamp")), currency="GBP")
    page = client_for(owner).get(url("month_end")).content.decode().replace("\u00a0", " ")
    for part in ("Glover Yard 9 to Lampwick Lane 4", "46 km", "Enter the cost in EUR"):
        assert part in page
    for row in (late, foreign):
        assert f'href="{reverse("expense_page", args=[row.pk])}"' in page


def test_an_order_number_is_typed_right_there(client_for, owner):
    key, studio = spoon_and_lamp(), client_for(owner)
    refused = studio.post(url("enter_order_number"), {"job": key, "order_number": ""})
    assert (refused.status_code, b"This is missing" in refused.content) == (422, True)
    studio.post(url("enter_order_number"), {"job": key, "order_number": "SL-88"})
    assert b"Make 1 invoice" in studio.get(url("month_end")).content


def test_what_is_ticked_is_made_and_sent_afterwards(client_for, owner):
    first = f"estimate:{done().number}"
    done(agreed("Kvernmoor Mill"))
    studio = client_for(owner)
    answer = studio.post(url("month_end"), {"bill": [first]}, follow=True)
    assert "One invoice is made: 2026-001, €1,356.60 in all." in answer.content.decode()
    assert [each.job_key for each in Invoice.objects.all()] == [first]
    studio.post(url("send_month"))
    assert Message.objects.filter(about=f"invoice:{Invoice.objects.get().pk}").count() == 1


def test_a_second_press_says_that_nothing_was_left(client_for, owner):
    key, studio = f"estimate:{done().number}", client_for(owner)
    studio.post(url("month_end"), {"bill": [key]})
    answer = studio.post(url("month_end"), {"bill": [key]}, follow=True)
    assert "Nothing was left to bill. No number was used." in answer.content.decode()


def test_the_sums_follow_the_ticks(client_for, owner):
    first = f"estimate:{done().number}"
    done(agreed("Kvernmoor Mill"))
    assert b"Make 1 invoice" in client_for(owner).get(url("month_sums"), {"bill": first}).content
    assert b"No job is ticked" in client_for(owner).get(url("month_sums")).content


def test_drafts_are_looked_at_without_a_number(client_for, owner):
    key = f"estimate:{done().number}"
    assert "Day on set" in client_for(owner).get(url("month_drafts")).content.decode()
    assert client_for(owner).get(url("month_draft_paper"), {"job": "job:none"}).status_code == 404
    assert client_for(owner).get(url("month_draft_paper"), {"job": key}).content.startswith(b"%PDF")
    assert not Invoice.objects.exists()


def test_a_month_that_is_none_or_to_come_is_said(client_for, owner):
    done()
    assert client_for(owner).get(url("month_end", "2026-13")).status_code == 404
    assert client_for(owner).get(url("month_end", "2027-05")).status_code == 409


def test_a_job_is_billed_from_the_page_of_its_shoot(client_for, owner):
    estimate = done()
    studio = client_for(owner)
    panel = studio.get(url("shoot_invoices_panel", estimate.shoot_id)).content.decode()
    assert "Bill this job now" in panel
    answer = studio.post(reverse("bill_job"), {"job": f"estimate:{estimate.number}"})
    assert answer.url == reverse("invoice_page", args=[Invoice.objects.get().pk])
    assert studio.post(reverse("bill_job"), {"job": "nonsense"}).status_code == 409


def test_the_money_page_says_what_is_owed_and_late(client_for, owner, accountant):
    issued(issued_on=MONTH_END.date().replace(month=9, day=30), at=MONTH_END)
    for person in (owner, accountant):
        page = client_for(person).get(reverse("money")).content.decode()
        assert "€2,474.15 is owed to you on 1 invoice, €2,474.15 of it is late." in page
        assert "Reminders due" in page


def test_an_empty_house_has_a_money_page(client_for, owner):
    assert b"Nobody owes you money." in client_for(owner).get(reverse("money")).content


def test_the_accountant_gets_the_table(client_for, accountant):
    estimate = done()
    cost(estimate, supplier="=Market Hall")
    answer = client_for(accountant).get(url("invoices_csv"))
    text = answer.content.decode()
    assert text.startswith(BYTE_ORDER_MARK)
    assert "'=Market Hall" in text
    assert answer["Content-Disposition"] == 'attachment; filename="accounts-2026-11.csv"'


def test_an_assistant_sees_no_money_and_the_accountant_writes_none(client_for, assistant, accountant):
    estimate = done()
    for name in ("month_end", "month_sums", "month_drafts", "month_draft_paper", "invoices_csv"):
        assert client_for(assistant).get(url(name)).status_code == 403
        assert client_for(None).get(url(name)).status_code == 302
    assert client_for(assistant).get(reverse("money")).status_code == 403
    empty = client_for(assistant).get(url("shoot_invoices_panel", estimate.shoot_id))
    assert (empty.status_code, empty.content) == (200, b"")
    for name in ("month_end", "enter_order_number", "send_month"):
        for person in (assistant, accountant):
            assert client_for(person).post(url(name), {"bill": "x"}).status_code == 403
    assert client_for(accountant).post(reverse("bill_job")).status_code == 403


def test_the_deposit_of_a_shoot_cancelled_in_time_is_led_to(client_for, owner):
    estimate = agreed(terms={"deposit_percent": D(30)})
    first = deposit(estimate)
    at = AGREED_AT + timedelta(days=1)
    call_off_shoot(estimate, kind="cancelled", reason="Kitchen flooded", by="Tindra", at=at)
    page = client_for(owner).get(url("month_end")).content.decode()
    assert "Deposit to give back" in page
    assert f'href="{url("invoice_page", first.pk)}">Cancel deposit {first.number} by credit note</a>' in page


@time_machine.travel(MONTH_END, tick=False)
def test_costs_that_came_late_stand_on_this_month_and_the_last_not_on_older_ones(client_for, owner):
    estimate = done()
    bill_job(f"estimate:{estimate.number}", issued_on=DAY, at=MONTH_END)
    cost(estimate)
    for month, is_shown in ((f"{DAY:%Y-%m}", True), ("2026-01", False)):
        page = client_for(owner).get(reverse("month_end", args=[month])).content.decode()
        assert ("Costs that came after the invoice" in page) == is_shown
