from dataclasses import replace

import pytest

from shared.business.particulars import (
    InvoiceBuyer,
    InvoiceCase,
    InvoiceSeller,
    Place,
    missing_from_business,
    missing_particulars,
)

SELLER = InvoiceSeller(
    "Tindra Aldermoor",
    "Demo Street 1",
    "00001",
    "Lindhafen",
    "DE",
    vat_number="DE000000000",
    iban="DE02120300000000202051",
)
BUYER = InvoiceBuyer("Walnut Lantern", "Lampwick Lane 4", "00007", "Lindhafen", "DE")
STANDARD = InvoiceCase(frozenset("S"))
REVERSE = InvoiceCase(frozenset({"AE"}), reason_text="Reverse charge")


def test_a_complete_invoice_misses_nothing() -> None:
    assert missing_particulars(SELLER, BUYER, STANDARD) == ()


def test_a_small_business_says_why_it_charges_no_tax() -> None:
    small = replace(SELLER, vat_number="", tax_number="12/345", is_small_business=True)
    assert [each.point for each in missing_particulars(small, BUYER, InvoiceCase(frozenset("E")))] == [
        "226(11)",
        "226(11)",
    ]
    worded = replace(small, exemption_wording="No VAT is charged: small business.")
    assert missing_particulars(worded, BUYER, InvoiceCase(frozenset("E"))) == ()


def test_an_empty_profile_names_each_thing_once() -> None:
    empty = InvoiceSeller("", "", "", "", "")
    assert [each.point for each in missing_from_business(empty)] == ["226(5)", "226(5)", "226(3)", "common practice"]


def test_reverse_charge_needs_both_vat_numbers() -> None:
    assert [each.point for each in missing_particulars(SELLER, BUYER, REVERSE)] == ["226(4)"]
    assert missing_particulars(SELLER, replace(BUYER, vat_number="ATU13585627"), REVERSE) == ()
    unnumbered = replace(SELLER, vat_number="", tax_number="12/345")
    assert "226(3)" in [
        each.point for each in missing_particulars(unnumbered, replace(BUYER, vat_number="ATU13585627"), REVERSE)
    ]


@pytest.mark.parametrize(
    ("case", "point"),
    [
        (replace(STANDARD, has_lines=False), "226(6)"),
        (replace(STANDARD, has_supply_day=False), "226(7)"),
        (replace(STANDARD, has_due_day=False), "common practice"),
        (replace(STANDARD, corrects_an_invoice=True), "219"),
        (InvoiceCase(frozenset("G")), "226(11)"),
    ],
)
def test_what_the_invoice_itself_lacks_is_said(case: InvoiceCase, point: str) -> None:
    found = missing_particulars(SELLER, BUYER, case)
    assert [(each.point, each.place) for each in found] == [(point, Place.INVOICE)]


def test_a_client_with_order_numbers_gets_no_invoice_without_one() -> None:
    strict = replace(BUYER, needs_order_number=True)
    found = missing_particulars(SELLER, strict, STANDARD)
    assert [each.sentence for each in found] == [
        "Walnut Lantern sends invoices back without an order number. Enter the number."
    ]
    assert missing_particulars(SELLER, replace(strict, order_number="4711"), STANDARD) == ()


def test_a_client_needs_a_name_and_an_address() -> None:
    assert [each.place for each in missing_particulars(SELLER, replace(BUYER, name="", city=""), STANDARD)] == [
        Place.CLIENT,
        Place.CLIENT,
    ]
