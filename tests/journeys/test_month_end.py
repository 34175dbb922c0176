"""Journey D, month-end: from empty books through deposit, receipt, dry run and run to payment, reminder and credit note; the invoice is read."""

from datetime import timedelta
from decimal import Decimal as D
from typing import Any

import pytest
import time_machine
from django.utils import timezone

from billing.invoices.models import Invoice
from shared.business.queries import today as business_day
from shared.evidence.queries import first_broken_link
from shared.outbox.models import Message
from shared.words.formats import plain_spaces, written_day
from shoots.licences.models import Licence
from tests.journeys import steps

pytestmark = pytest.mark.django_db(transaction=True)
BILLS = "bills@walnutlantern.example"
RECEIPT = {"name": "receipt.pdf", "mimeType": "application/pdf", "buffer": b"%PDF-1.7\n% drawn for a test\n%%EOF\n"}


def test_a_month_is_billed_paid_and_reminded_and_the_invoice_reads_as_the_law_asks(
    live_server: Any, watched: Any, browser: Any, watch: Any, tally: Any, worked: Any, read_pdf: Any, settings: Any
) -> None:
    settings.SITE_ADDRESS = live_server.url
    studio = tally(watched)
    page = studio.page
    steps.begin_books(studio, live_server.url)
    today = business_day(timezone.now())  # of the papers, also when it is tomorrow there and today in UTC
    steps.add_client(studio, live_server.url, "Walnut Lantern", contact="Maro Lantadze", email=steps.COOKS_MAIL)
    steps.fill_in_billing(studio, BILLS)
    steps.open_winter_menu(studio, day=today, pictures=("Bread boat 1", "Bread boat 2", "Bread boat 3"))
    shoot_url = page.url

    # The estimate with groceries at most 100.00, use on payment, billed when shot
    studio.press("New estimate")
    row = page.locator("#option-A table tbody tr").last
    studio.write("What", "Groceries", within=row, exact=True)
    studio.write("Rate", "100", within=row, exact=True)
    row.get_by_text("Kind and conditions").click()
    row.get_by_text("Passed on at cost").click()
    row.get_by_text("Never more than this (at most)").click()
    studio.presses += 3
    studio.tick("On payment")
    studio.tick("When shot")
    phone = steps.phone(browser)
    client = tally(watch(phone.new_page()))
    client.open(steps.send_estimate(studio))
    # By hand: 260.00 + 780.00 + 75.00 + 875.00 + 100.00 = 2,090.00; 19% is 397.10
    steps.accept(client, option="A", total="€2,487.10")
    phone.close()
    worked(timezone.now())

    # The deposit, 40% of 2,487.10, went out by itself and comes in
    deposit = Invoice.objects.get(kind="deposit")
    assert deposit.gross == D("994.84")
    studio.open(live_server.url + "/money/")
    studio.follow("Walnut Lantern, Winter menu")
    studio.press("Record the payment")
    page.get_by_text("is paid in full").first.wait_for()

    # Shot; a receipt, under the line marked at most
    studio.open(shoot_url)
    studio.press("Mark as shot")
    studio.follow("Record a cost")
    studio.write("What was bought", "Walnuts and pomegranates")
    studio.write("Total on the receipt", "60,00")
    studio.write("VAT in it", "9,58")
    studio.hand_over("Receipt optional", RECEIPT)
    studio.choose("Under which line of the estimate", "Groceries")
    studio.press("Record the cost")

    # The dry run numbers nothing; the run makes one invoice
    studio.open(live_server.url + "/money/")
    studio.follow("Month-end", nth=0)
    assert not Invoice.objects.filter(kind="invoice").exists()
    page.get_by_text("Balance after 40% deposit").wait_for()
    studio.press("Make 1 invoice")
    invoice = Invoice.objects.get(kind="invoice")
    # By hand: 1,990.00 + 50.42 = 2,040.42; 19% is 387.68; less the deposit of 994.84 with its VAT of 158.84
    assert (invoice.net, invoice.tax, invoice.gross) == (D("2040.42"), D("387.68"), D("2428.10"))
    assert (invoice.prepaid, invoice.to_pay) == (D("994.84"), D("1433.26"))

    # Sent, and paid in part
    studio.follow(f"{invoice.number}, Walnut Lantern")
    studio.press(f"Send invoice {invoice.number}")
    assert Message.objects.filter(about=f"invoice:{invoice.pk}", to=BILLS, attachments=invoice.paper).count() == 1
    studio.write("Sum", "400", exact=True)
    studio.press("Record the payment")
    page.get_by_text("€1,033.26 is still open.").first.wait_for()
    assert Licence.objects.get().state == "accepted"

    # Forty days on it is late: a reminder, then the rest, which starts the licence
    with time_machine.travel(timezone.now() + timedelta(days=40), tick=True):
        studio.open(live_server.url + "/money/")
        if page.url.startswith(live_server.url + "/sign-in/"):
            studio.write("Name or e-mail", steps.OWNER[0])
            studio.write("Password", steps.OWNER[1])
            studio.press("Sign in")
        studio.press("Send reminder 1")
        assert invoice.reminders.count() == 1
        studio.open(f"{live_server.url}/invoices/{invoice.pk}/")
        studio.press("Record the payment")
        page.get_by_text("is paid in full").first.wait_for()
        assert Licence.objects.get().state == "paid"

        # It turns out to be wrong
        studio.write("Reason", "Billed to the wrong house")
        studio.press("Cancel by credit note")
        studio.press("Cancel by credit note", within=page.get_by_role("dialog"))
        page.get_by_role("heading", name="Credit note", exact=False).first.wait_for()
        note = Invoice.objects.get(kind="credit_note")
        assert (note.corrects_id, note.gross) == (invoice.pk, invoice.gross)
    assert first_broken_link() is None

    # The paper in the hand: Directive 2006/112/EC, Article 226, and the sums
    with time_machine.travel(timezone.now() + timedelta(days=40), tick=True):
        paper = page.request.get(f"{live_server.url}/invoices/{invoice.pk}/paper/").body()
    invoice.refresh_from_db()
    assert paper == invoice.paper.read_bytes()
    said = read_pdf(paper)
    for words in (
        f"Invoice {invoice.number}",
        f"Date {written_day(today, 'en')}",
        f"Work done {written_day(today, 'en')}",
        "VAT ID DE136695976",
        "Tindra Aldermoor, Glover Yard 9, 24103 Lindhafen",
        "Walnut Lantern",
        "Lampwick Lane 4",
        "Day on set 1 day 780.00 780.00",
        "Groceries, one receipt 50.42",
        "VAT 19% on 2,040.42 387.68",
        "Invoice total 2,428.10",
        f"invoice {deposit.number}, with VAT of 158.84 −994.84",
        f"To pay by {written_day(invoice.due_on, 'en')} €1,433.26",
        "IBAN DE02 1203 0000 0000 2020 51",
    ):
        assert plain_spaces(words) in said, words
