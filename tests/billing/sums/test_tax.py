from dataclasses import replace
from decimal import Decimal as D

import pytest

from billing.sums.tax import (
    DISBURSED,
    Reason,
    Recipient,
    Supplier,
    reason_text,
    tax_case,
)

BERLIN = Supplier("DE", D(19))
LONDON = Supplier("GB", D(20))


@pytest.mark.parametrize(
    ("supplier", "recipient", "is_goods", "category", "reason", "asks"),
    [
        (BERLIN, Recipient("DE"), False, "S", "", False),
        (BERLIN, Recipient("DE", is_business=False), False, "S", "", False),
        (BERLIN, Recipient("AT", vat_number="ATU13585627"), False, "AE", "reverse_charge", False),
        (BERLIN, Recipient("AT", vat_number="ATU13585627"), True, "K", "intra_community", False),
        (BERLIN, Recipient("AT"), False, "S", "", True),
        (BERLIN, Recipient("AT", is_business=False), False, "S", "", True),
        (BERLIN, Recipient("US"), False, "O", "outside_scope", True),
        (BERLIN, Recipient("US", is_business=False), False, "S", "", True),
        (BERLIN, Recipient("US"), True, "G", "export", True),
        (BERLIN, Recipient("GB", vat_number="GB980780684"), False, "O", "outside_scope", True),
        (LONDON, Recipient("GB"), False, "S", "", False),
        (LONDON, Recipient("DE", vat_number="DE136695976"), False, "O", "outside_scope", True),
        (replace(BERLIN, has_vat_number=False), Recipient("AT", vat_number="ATU13585627"), False, "S", "", True),
        (replace(BERLIN, is_small_business=True), Recipient("DE"), False, "E", "small_business", False),
        (
            replace(BERLIN, is_small_business=True),
            Recipient("AT", vat_number="ATU13585627"),
            False,
            "E",
            "small_business",
            True,
        ),
    ],
)
def test_the_tax_of_a_job_follows_from_who_works_for_whom(
    supplier: Supplier, recipient: Recipient, is_goods: bool, category: str, reason: str, asks: bool
) -> None:
    case = tax_case(supplier, recipient, is_goods=is_goods)
    assert (case.category, case.reason, bool(case.ask)) == (category, reason, asks)
    assert case.rate == (supplier.standard_rate if category == "S" else 0)


def test_papers_say_why_no_tax_is_charged() -> None:
    assert reason_text(Reason.REVERSE_CHARGE, "en").startswith("Reverse charge")
    assert reason_text(Reason.REVERSE_CHARGE, "de").startswith("Steuerschuldnerschaft")
    assert (
        reason_text(Reason.SMALL_BUSINESS, "en", small_business_wording="No VAT: small business.")
        == "No VAT: small business."
    )
    assert reason_text(Reason.NONE, "en") == ""
    assert (DISBURSED.category, DISBURSED.rate) == ("E", 0)
