from datetime import date
from decimal import Decimal as D

import pytest

from billing.invoices.standing import standing

DUE = date(2026, 12, 14)


@pytest.mark.parametrize(
    ("change", "word", "left"),
    [
        ({"is_sent": False}, "Not sent", "100"),
        ({}, "Sent", "100"),
        ({"paid": D(40)}, "Part paid", "60"),
        ({"paid": D(100)}, "Paid", "0"),
        ({"paid": D(120)}, "Overpaid", "-20"),
        ({"on": date(2026, 12, 15)}, "Late", "100"),
        ({"on": date(2026, 12, 15), "paid": D(40)}, "Late, part paid", "60"),
        ({"on": date(2026, 12, 15), "paid": D(100)}, "Paid", "0"),
        ({"is_cancelled": True}, "Cancelled", "0"),
        ({"is_cancelled": True, "paid": D(40)}, "Cancelled, pay back", "-40"),
        ({"kind": "credit_note"}, "Sent", "0"),
    ],
)
def test_a_paper_stands_as_its_payments_and_the_day_say(change: dict[str, object], word: str, left: str) -> None:
    usual = {
        "kind": "invoice",
        "to_pay": D(100),
        "paid": D(0),
        "due_on": DUE,
        "on": DUE,
        "is_cancelled": False,
        "is_sent": True,
    }
    found = standing(**{**usual, **change})  # type: ignore[arg-type]
    assert (found.word, found.left) == (word, D(left))


def test_the_crumbs_of_binary_fractions_are_nothing() -> None:
    found = standing(
        kind="invoice",
        to_pay=D("0.30"),
        paid=D("0.30000000000000004"),
        due_on=DUE,
        on=DUE,
        is_cancelled=False,
        is_sent=True,
    )
    assert (found.word, found.is_owed, found.is_late) == ("Paid", False, False)
