"""What an invoice must say: Council Directive 2006/112/EC, Article 226, read on the text of the real PDF.

Points 1 to 7 were read in a copy of the directive at betterregulation.com; points 8 to 11a, and Article 219 on credit notes, are from
memory. National law may ask for more: a tax adviser looks at the papers before they are used.
"""

import subprocess
from datetime import date
from decimal import Decimal as D

import pytest

from billing.invoices.actions import cancel_by_credit_note
from billing.invoices.papers import invoice_pdf
from billing.invoices.queries import invoice_shown
from billing.sums.tax import Reason
from billing.sums.totals import Adjustment, Category, WholeAdjustment
from shared.business.queries import current_business
from shared.words.formats import plain_spaces
from tests.factories.clients import ClientFactory
from tests.factories.invoices import DAY, MONTH_END, draft, issued, line

pytestmark = pytest.mark.django_db


def read(pdf, tmp_path):
    path = tmp_path / "paper.pdf"
    path.write_bytes(pdf)
    said = subprocess.run(["pdftotext", "-layout", path, "-"], capture_output=True, text=True, check=True).stdout
    return " ".join(plain_spaces(said).split())


def test_a_full_invoice_says_each_particular_of_article_226(tmp_path):
    client = ClientFactory(name="Walnut Lantern", legal_name="Walnut Lantern Gasthaus GmbH", vat_number="ATU12345675")
    discount = WholeAdjustment(Adjustment(D("78.00"), "Two shoots in one month"), Category.STANDARD, D(19))
    said = read(issued(client, discount=discount).paper.read_bytes(), tmp_path)
    particulars = {
        "226(1) the date of issue": "Date 30 November 2026",
        "226(2) a sequential number that identifies the invoice": "Invoice 2026-001",
        "226(3) the supplier's VAT number": "VAT ID DE136695976",
        "226(4) the customer's VAT number": "Your VAT ID ATU12345675",
        "226(5) the supplier's full name and address": "Tindra Aldermoor, Glover Yard 9, 24103 Lindhafen",
        "226(5) the customer's full name": "Walnut Lantern Gasthaus GmbH",
        "226(5) the customer's address": "Lampwick Lane 4",
        "226(6) extent and nature of the services": "Day on set 1 day 780.00 780.00",
        "226(7) the date of the supply, where it differs": "Work done 14 November 2026",
        "226(8) the unit price exclusive of VAT": "Travel 46 km 0.42 19.32",
        "226(8) discounts not in the unit price": "Discount: Two shoots in one month −78.00",
        "226(8) the taxable amount per rate": "VAT 19% on 2,001.12",
        "226(9) the VAT rate applied": "VAT 19%",
        "226(10) the VAT amount payable": "VAT 19% on 2,001.12 380.21",  # 380.2128, rounded once
    }
    assert [point for point, words in particulars.items() if words not in said] == []
    assert "To pay by 14 December 2026 €2,381.33" in said


def without_vat(category, reason, tmp_path, *, is_small_business=False, client=None):
    wanted = draft(client, lines=(line(category=category, rate=D(0)),), tax_reason=reason)
    business = current_business(DAY)
    business.is_small_business = is_small_business
    return read(invoice_pdf(invoice_shown(wanted, business, client or ClientFactory(), number="2026-001")), tmp_path)


def test_exempt_work_refers_to_the_exemption_point_11(tmp_path):
    said = without_vat(Category.EXEMPT, Reason.SMALL_BUSINESS, tmp_path, is_small_business=True)
    assert "No VAT is charged: small business under section 19 UStG." in said


def test_where_the_customer_owes_the_vat_the_invoice_says_reverse_charge_point_11a(tmp_path):
    client = ClientFactory(name="Alpenblick", country="AT", vat_number="ATU12345675")
    said = without_vat(Category.REVERSE_CHARGE, Reason.REVERSE_CHARGE, tmp_path, client=client)
    assert "Reverse charge" in said
    assert "ATU12345675" in said
    assert "Austria" in said


def test_a_credit_note_clearly_refers_to_the_first_invoice_article_219(tmp_path):
    note = cancel_by_credit_note(issued(), reason="", at=MONTH_END)
    said = read(note.paper.read_bytes(), tmp_path)
    assert "Corrects 2026-001, 30 November 2026" in said
    assert note.issued_on == date(2026, 11, 30)
