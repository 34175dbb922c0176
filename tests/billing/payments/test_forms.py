from datetime import date
from decimal import Decimal as D

from billing.payments.forms import PaymentForm


def test_a_sum_is_read_as_people_write_it_and_paid_back_is_below_zero():
    form = PaymentForm({"amount": "1.234,50", "received_on": "29.10.2026", "way": "paid_back", "note": "By transfer"})
    assert form.is_valid()
    assert form.received() == {"amount": D("-1234.50"), "received_on": date(2026, 10, 29), "note": "By transfer"}


def test_nothing_and_less_than_nothing_are_refused():
    for typed in ("0", "-5", "five"):
        assert "amount" in PaymentForm({"amount": typed, "received_on": "2026-10-29", "way": "received"}).errors
