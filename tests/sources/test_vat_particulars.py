"""Particulars of an invoice: Council Directive 2006/112/EC, Article 226 (points 1 to 7 read in a copy at betterregulation.com, the others from memory).

Article 219: a document that amends and clearly refers to the first invoice is treated as an invoice.
"""

from dataclasses import replace

import pytest

from shared.business.particulars import InvoiceBuyer, InvoiceCase, InvoiceSeller, missing_particulars

SELLER = InvoiceSeller(
    "Tindra Aldermoor", "Demo Street 1", "00001", "Lindhafen", "DE", vat_number="DE000000000", iban="DE00"
)
BUYER = InvoiceBuyer("Kvernmoor Mill", "Mill Road 2", "00002", "Lindhafen", "AT", vat_number="ATU00000000")


@pytest.mark.parametrize(
    ("point", "seller", "buyer", "case"),
    [
        ("226(3)", {"vat_number": ""}, {}, {"categories": frozenset("S")}),
        ("226(4)", {}, {"vat_number": ""}, {"categories": frozenset({"AE"}), "reason_text": "Reverse charge"}),
        ("226(5)", {"name": ""}, {}, {"categories": frozenset("S")}),
        ("226(5)", {}, {"street": ""}, {"categories": frozenset("S")}),
        ("226(6)", {}, {}, {"categories": frozenset("S"), "has_lines": False}),
        ("226(7)", {}, {}, {"categories": frozenset("S"), "has_supply_day": False}),
        ("226(11)", {}, {}, {"categories": frozenset("E")}),
        ("219", {}, {}, {"categories": frozenset("S"), "corrects_an_invoice": True}),
    ],
)
def test_each_point_of_article_226_is_missed_when_it_is_missing(
    point: str, seller: dict[str, str], buyer: dict[str, str], case: dict[str, object]
) -> None:
    found = missing_particulars(replace(SELLER, **seller), replace(BUYER, **buyer), InvoiceCase(**case))  # type: ignore[arg-type]
    assert point in {missing.point for missing in found}


def test_with_everything_named_nothing_is_missed() -> None:
    assert missing_particulars(SELLER, BUYER, InvoiceCase(frozenset("S"))) == ()
