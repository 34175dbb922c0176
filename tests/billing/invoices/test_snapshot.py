import json
from datetime import date
from decimal import Decimal as D

import pytest

from billing.estimates.snapshot import SnapshotUnreadable
from billing.invoices.snapshot import BilledLine, DepositShown, InvoiceShown, TaxShown, invoice_from_json
from shared.papers.kept import as_json

GROUP = TaxShown(category="S", rate=D(19), base=D("853.73"), tax=D("162.21"))
SHOWN = InvoiceShown(
    kind="invoice", number="2026-035", language="en", currency="EUR", title="Winter menu", issued_on=date(2026, 11, 30), due_on=date(2026, 12, 14),
    supplied_on=date(2026, 11, 14), supplied_last_on=None, sender_name="Tindra Aldermoor", sender_strapline="Food photography",
    sender_address=("Glover Yard 9", "24103 Lindhafen"), sender_vat_number="DE136695976", sender_tax_number="", sender_email="",
    to=("Walnut Lantern",), client_vat_number="", order_number="", estimate_name="",
    lines=(BilledLine(what="Day on set", working="", quantity=D(1), unit="day", unit_price=D(780), net=D(780), category="S", rate=D(19)),),
    lines_net=D(780), discount=D(0), discount_percent=None, discount_reason="", net=D(780), groups=(GROUP,), tax=D("148.20"), gross=D("928.20"),
    deposits=(DepositShown(number="2026-030", issued_on=date(2026, 10, 22), paid_on=None, groups=(GROUP,)),), prepaid=D("1015.94"), left=(GROUP,),
    to_pay=D("-87.74"), tax_reasons=(), account_name="Tindra Aldermoor", iban="DE02120300000000202051", bic="", reference="", licence_sentences=(),
    lapses_after=None, corrects="", corrects_on=None, reason="", is_demo=False,
)  # fmt: skip


def test_a_paper_comes_back_from_what_is_kept_as_it_was() -> None:
    assert invoice_from_json(json.loads(json.dumps(as_json(SHOWN)))) == SHOWN


def test_a_deposit_adds_up_and_gives_its_vat_back_per_rate() -> None:
    (deposit,) = SHOWN.deposits
    assert (deposit.tax, deposit.gross) == (D("162.21"), D("1015.94"))
    assert SHOWN.tax_groups[0].gross == D("1015.94")


def test_what_cannot_be_read_says_so() -> None:
    with pytest.raises(SnapshotUnreadable):
        invoice_from_json({"number": "2026-035"})
