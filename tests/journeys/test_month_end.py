"""Journey D, month-end: deposit, receipt, dry run, run, payment, reminder and credit note by hand; the invoice is read at the end."""

from datetime import timedelta
from decimal import Decimal as D
from typing import Any

import pytest
from django.utils import timezone

from billing.invoices.models import Invoice
from shared.evidence.queries import first_broken_link
from shared.outbox.models import Message
from shared.words.formats import plain_spaces, written_day
from shoots.licences.models import Licence
from tests.factories.clients import ClientFactory
from tests.factories.invoices import GROCERIES, LINES, agreed, done, issued

pytestmark = pytest.mark.django_db(transaction=True)
RECEIPT = {"name": "receipt.pdf", "mimeType": "application/pdf", "buffer": b"%PDF-1.7\n% drawn for a test\n%%EOF\n"}


def test_a_month_is_billed_paid_and_reminded_and_the_invoice_reads_as_the_law_asks(
    live_server: Any, signed_in_page: Any, tally: Any, worked: Any, read_pdf: Any
) -> None:
    today = timezone.now().date()
    late = issued(
        ClientFactory(name="Lindhafen Herald", invoice_email="bills@herald.example"),
        title="Market page",
        issued_on=today - timedelta(days=40),
        at=timezone.now(),
    )
    estimate = agreed(lines=(*LINES, GROCERIES), terms={"deposit_percent": D(40)})
    worked(timezone.now())
    deposit = Invoice.objects.get(kind="deposit")
    done(estimate, shot_on=today - timedelta(days=3), delivered_on=today - timedelta(days=1))
    studio = tally(signed_in_page)
    page = studio.page

    # The deposit came in
    studio.open(live_server.url + "/money/")
    studio.follow("Walnut Lantern, Winter menu")
    studio.press("Record the payment")
    page.get_by_text("is paid in full").first.wait_for()

    # A receipt, under the line marked at most
    studio.open(f"{live_server.url}/expenses/new/?shoot={estimate.shoot_id}")
    studio.write("What was bought", "Walnuts and pomegranates")
    studio.write("Total on the receipt", "60,00")
    studio.write("VAT in it", "9,58")
    studio.write("Day", f"{today - timedelta(days=4)}", exact=True)
    studio.hand_over("Receipt optional", RECEIPT)
    studio.choose("Under which line of the estimate", "Groceries")
    studio.press("Record the cost")

    # The dry run numbers nothing; the run makes one invoice
    studio.open(live_server.url + "/money/")
    studio.follow("Month-end", nth=0)
    assert Invoice.objects.filter(kind="invoice").exclude(pk=late.pk).count() == 0
    page.get_by_text("Balance after 40% deposit").wait_for()
    studio.press("Make 1 invoice")
    invoice = Invoice.objects.filter(kind="invoice").exclude(pk=late.pk).get()
    assert (invoice.net, invoice.tax, invoice.gross) == (D("1190.42"), D("226.18"), D("1416.60"))
    assert (invoice.prepaid, invoice.to_pay) == (D("571.20"), D("845.40"))

    # Sent, and paid in two parts: the last one starts the licence
    studio.follow(f"{invoice.number}, Walnut Lantern")
    studio.press(f"Send invoice {invoice.number}")
    assert Message.objects.filter(about=f"invoice:{invoice.pk}", attachments=invoice.paper).count() == 1
    studio.write("Sum", "400", exact=True)
    studio.press("Record the payment")
    page.get_by_text("€445.40 is still open.").first.wait_for()
    assert Licence.objects.get().state == "accepted"
    studio.press("Record the payment")
    page.get_by_text("is paid in full").first.wait_for()
    assert Licence.objects.get().state == "paid"

    # A reminder of the late one; then it turns out to be wrong
    studio.open(live_server.url + "/money/")
    studio.press("Send reminder 1")
    assert late.reminders.count() == 1
    studio.write("Reason", "Billed to the wrong house")
    studio.press("Cancel by credit note")
    studio.press("Cancel by credit note", within=page.get_by_role("dialog"))
    page.get_by_role("heading", name="Credit note", exact=False).first.wait_for()
    note = Invoice.objects.get(kind="credit_note")
    assert (note.corrects_id, note.gross) == (late.pk, late.gross)
    assert first_broken_link() is None

    # The paper in the hand: Directive 2006/112/EC, Article 226, and the sums
    paper = page.request.get(f"{live_server.url}/invoices/{invoice.pk}/paper/").body()
    assert paper == invoice.paper.read_bytes()
    said = read_pdf(paper)
    for words in (
        f"Invoice {invoice.number}",
        f"Date {written_day(today, 'en')}",
        f"Work done {written_day(today - timedelta(days=3), 'en')}",
        "VAT ID DE136695976",
        "Tindra Aldermoor, Glover Yard 9, 24103 Lindhafen",
        "Walnut Lantern",
        "Lampwick Lane 4",
        "Day on set 1 day 780.00 780.00",
        "Groceries, one receipt 50.42",
        "VAT 19% on 1,190.42 226.18",
        "Invoice total 1,416.60",
        f"invoice {deposit.number}, with VAT of 91.20 −571.20",
        f"To pay by {written_day(invoice.due_on, 'en')} €845.40",
        "IBAN DE02 1203 0000 0000 2020 51",
    ):
        assert plain_spaces(words) in said
