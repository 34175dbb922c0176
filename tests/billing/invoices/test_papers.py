"""The papers as they come out of the press, read back."""

import subprocess
from dataclasses import replace
from datetime import date
from decimal import Decimal as D

import pytest

from billing.invoices.actions import cancel_by_credit_note
from billing.invoices.draft import DeductedDeposit
from billing.invoices.papers import invoice_pdf, paper_context, pay, sums
from billing.invoices.queries import invoice_shown
from billing.invoices.snapshot import invoice_from_json
from billing.sums.totals import Category, tax_group
from shared.business.queries import current_business
from shared.papers.kept import as_json
from shared.words.formats import plain_spaces
from tests.factories.clients import ClientFactory
from tests.factories.invoices import DAY, MONTH_END, draft, issued, line

pytestmark = pytest.mark.django_db
DEPOSIT = DeductedDeposit(
    number="2026-030",
    issued_on=date(2026, 10, 22),
    groups=(tax_group(Category.STANDARD, D(19), D("853.73")),),
    paid_on=date(2026, 10, 29),
)


def read(pdf, tmp_path):
    """Its words twice over: line by line across the page, then each column down."""
    path = tmp_path / "paper.pdf"
    path.write_bytes(pdf)
    ways = (["pdftotext", "-layout", path, "-"], ["pdftotext", path, "-"])
    said = (subprocess.run(way, capture_output=True, text=True, check=True).stdout for way in ways)
    return " ".join(plain_spaces(" ".join(said)).split())


def shown(**also):
    wanted = draft(**also)
    return invoice_shown(
        wanted, current_business(DAY), ClientFactory(name="Walnut Lantern"), number="2026-035", reference="RF572026035"
    )


def test_the_winter_menu_says_every_sum_of_the_deposit_and_what_is_left(tmp_path):
    said = read(
        invoice_pdf(
            shown(
                deposits=(DEPOSIT,),
                licence_sentences=("Own promotion of Walnut Lantern: website and social media, worldwide.",),
                lapses_after=date(2027, 1, 13),
            )
        ),
        tmp_path,
    )
    for part in (
        "Invoice for Winter menu",
        "Before VAT 2,079.12",
        "VAT 19% on 2,079.12 395.03",
        "Invoice total 2,474.15",
        "Paid on 29 October 2026, invoice 2026-030, with VAT of 162.21 −1,015.94",
        "To pay by 14 December 2026 €1,458.21",
        "In this sum: 1,225.39 before VAT and 232.82 VAT at 19%.",
        "IBAN DE02 1203 0000 0000 2020 51",
        "Reference RF57 2026 035",
        "Own promotion of Walnut Lantern",
        "If this invoice is unpaid after 13 January 2027, the licence lapses.",
    ):
        assert part in said
    assert "Page 1 of 1" in said


def test_the_paper_is_tagged_whole_and_the_same_twice(tmp_path):
    paper = shown()
    first = invoice_pdf(paper)
    assert first == invoice_pdf(paper)
    path = tmp_path / "paper.pdf"
    path.write_bytes(first)
    facts = subprocess.run(["pdfinfo", path], capture_output=True, text=True, check=True).stdout
    assert "Tagged:          yes" in facts
    assert "Title:           Invoice 2026-035" in facts
    assert subprocess.run(["qpdf", "--check", path], capture_output=True, check=False).returncode == 0


def test_a_demo_paper_says_so_and_its_code_pays_nobody(tmp_path):
    demo = replace(shown(), is_demo=True)
    assert "Demo data, not an invoice" in read(invoice_pdf(demo), tmp_path)
    assert paper_context(demo)["code"] != paper_context(replace(demo, is_demo=False))["code"]


def test_a_credit_note_names_the_invoice_it_takes_back(tmp_path):
    note = cancel_by_credit_note(issued(), reason="Billed to the wrong firm", at=MONTH_END)
    said = read(note.paper.read_bytes(), tmp_path)
    for part in (
        "Credit note C-2026-001",
        "takes back invoice 2026-001 of 30 November 2026 in full",
        "Reason: Billed to the wrong firm",
        "Credited to you €2,474.15",
    ):
        assert part in said
    assert "Please pay to" not in said


def test_more_deposit_than_job_is_paid_back_and_a_job_its_deposit_covers_asks_for_nothing():
    big = replace(DEPOSIT, groups=(tax_group(Category.STANDARD, D(19), D(1000)),))
    back = shown(lines=(line(price="780"),), deposits=(big,))
    assert pay(back) == ("We pay back to you", D("261.80"))
    even = shown(lines=(line(price="1000"),), deposits=(big,))
    assert pay(even) == ("Nothing to pay", D(0))
    assert paper_context(even)["code"] == ""


def test_a_deposit_at_two_rates_names_the_vat_of_each():
    groups = (tax_group(Category.STANDARD, D(19), D(100)), tax_group(Category.STANDARD, D(7), D(50)))
    rows = [label for label, _ in sums(shown(deposits=(replace(DEPOSIT, groups=groups, paid_on=None),)))]
    assert rows[-1].endswith("with VAT of 19.00 (19%) and 3.50 (7%)")


def test_a_small_business_charges_no_vat_and_says_why(tmp_path):
    wanted = draft(lines=(line(category=Category.EXEMPT, rate=D(0)),), tax_reason="small_business")
    business = current_business(DAY)
    business.is_small_business = True
    said = read(invoice_pdf(invoice_shown(wanted, business, ClientFactory(), number="2026-001")), tmp_path)
    assert "No VAT on 780.00 0.00" in said
    assert "No VAT is charged: small business under section 19 UStG." in said


def test_a_long_invoice_carries_its_sum_and_keeps_a_line_with_its_total(tmp_path):
    said = read(invoice_pdf(shown(lines=tuple(line(f"Picture {n}", "40") for n in range(1, 41)))), tmp_path)
    assert "Carried over 720.00" in said
    assert said.index("Page 1 of") < said.index("Picture 40 ") < said.index("To pay by") < said.index("Page 2 of")


def test_what_is_kept_prints_the_same_paper_again():
    paper = shown()
    assert invoice_pdf(invoice_from_json(as_json(paper))) == invoice_pdf(paper)
