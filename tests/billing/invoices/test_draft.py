from datetime import date
from decimal import Decimal as D

import pytest

from billing.invoices.draft import DeductedDeposit, DraftLine, InvoiceDraft, deposit_lines, reasons, reckon
from billing.sums.tax import Reason
from billing.sums.totals import Category, InvalidTotals, tax_group


def line(price: str, category: Category = Category.STANDARD, rate: str = "19", quantity: str = "1") -> DraftLine:
    return DraftLine(what="Work", quantity=D(quantity), unit_price=D(price), category=category, rate=D(rate))


def draft(*lines: DraftLine, **also: object) -> InvoiceDraft:
    return InvoiceDraft(
        **{  # type: ignore[arg-type]
            "job_key": "job:1",
            "kind": "invoice",
            "title": "Winter menu",
            "language": "en",
            "currency": "EUR",
            "client": 1,
            "lines": lines,
            "issued_on": date(2026, 11, 30),
            "due_on": date(2026, 12, 14),
            **also,
        }
    )


def test_a_deposit_is_deducted_with_its_vat() -> None:
    paid = DeductedDeposit(
        number="2026-030",
        issued_on=date(2026, 10, 22),
        groups=(tax_group(Category.STANDARD, D(19), D("853.73")),),
    )
    totals = reckon(draft(line("2079.12"), deposits=(paid,)))
    assert (totals.gross, totals.prepaid, totals.due) == (D("2474.15"), D("1015.94"), D("1458.21"))


def test_a_deposit_at_two_rates_has_a_line_for_each() -> None:
    taxed, untaxed = deposit_lines("Deposit", "", D(1000), D(120), D(40), Category.STANDARD, D(19))
    assert (taxed.net, taxed.rate) == (D("400.00"), D(19))
    assert (untaxed.net, untaxed.category) == (D("48.00"), Category.EXEMPT)


def test_an_exempt_job_asks_for_its_deposit_in_one_line() -> None:
    (only,) = deposit_lines("Deposit", "", D(900), D(100), D(50), Category.EXEMPT, D(0))
    assert only.net == D("500.00")


def test_the_paper_names_each_reason_for_no_vat_once() -> None:
    permit = line("120", Category.EXEMPT, "0")
    assert reasons(draft(line("780"))) == ()
    assert reasons(draft(line("780"), permit)) == (Reason.DISBURSEMENT,)
    small = draft(permit, tax_reason=Reason.SMALL_BUSINESS)
    assert reasons(small) == (Reason.SMALL_BUSINESS,)
    abroad = draft(line("780", Category.REVERSE_CHARGE, "0"), permit, tax_reason=Reason.REVERSE_CHARGE)
    assert reasons(abroad) == (Reason.REVERSE_CHARGE, Reason.DISBURSEMENT)


def test_a_paper_without_a_line_is_no_paper() -> None:
    with pytest.raises(InvalidTotals, match="BR-16"):
        reckon(draft())
