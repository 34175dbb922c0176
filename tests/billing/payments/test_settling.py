from datetime import date, timedelta
from decimal import Decimal as D

import pytest

from billing.payments.settling import Received, Standing, reminder_due, settle

DUE = date(2026, 12, 14)
LATER = date(2026, 12, 22)


@pytest.mark.parametrize(
    ("payments", "standing", "left", "credit", "paid_on", "late"),
    [
        ([], Standing.OPEN, "100.00", "0", None, 8),
        ([(10, "40")], Standing.PART_PAID, "60.00", "0", None, 8),
        ([(10, "40"), (14, "60")], Standing.PAID, "0", "0", 14, 0),
        ([(17, "100")], Standing.PAID, "0", "0", 17, 3),
        ([(10, "110")], Standing.OVERPAID, "0", "10.00", 10, 0),
        ([(10, "100"), (11, "-100")], Standing.OPEN, "100.00", "0", None, 8),
        ([(10, "100"), (11, "-100"), (20, "100")], Standing.PAID, "0", "0", 20, 6),
        ([(10, "100"), (11, "10"), (12, "-10")], Standing.PAID, "0", "0", 10, 0),
        ([(23, "100")], Standing.OPEN, "100.00", "0", None, 8),
    ],
)
def test_an_invoice_stands_as_its_payments_make_it(
    payments: list[tuple[int, str]], standing: Standing, left: str, credit: str, paid_on: int | None, late: int
) -> None:
    found = settle(
        D("100.00"), [Received(date(2026, 12, day), D(amount)) for day, amount in payments], due_on=DUE, on=LATER
    )
    assert (found.standing, found.left, found.credit, found.days_late) == (standing, D(left), D(credit), late)
    assert found.paid_on == (date(2026, 12, paid_on) if paid_on else None)
    assert found.is_late == (standing in {Standing.OPEN, Standing.PART_PAID})


def test_a_credit_note_settles_what_it_takes_off() -> None:
    found = settle(D("100.00"), [], due_on=DUE, on=LATER, credited=D("100.00"))
    assert (found.standing, found.paid_on, found.is_late) == (Standing.PAID, None, False)
    part = settle(D("100.00"), [Received(DUE, D(100))], due_on=DUE, on=LATER, credited=D("30.00"))
    assert (part.standing, part.credit) == (Standing.OVERPAID, D("30.00"))


def test_an_invoice_is_late_from_the_day_after_it_is_due() -> None:
    assert not settle(D(100), [], due_on=DUE, on=DUE).is_late
    assert settle(D(100), [], due_on=DUE, on=DUE + timedelta(days=1)).is_late


@pytest.mark.parametrize(
    ("late", "sent", "step"),
    [
        (6, [], None),
        (7, [], 1),
        (20, [7], None),
        (21, [7], 2),
        (21, [20], None),
        (40, [7, 21], 3),
        (90, [7, 21, 35], None),
        (0, [], None),
    ],
)
def test_reminders_go_out_one_after_the_other(late: int, sent: list[int], step: int | None) -> None:
    on = DUE + timedelta(days=late)
    found = settle(D(100), [], due_on=DUE, on=on)
    assert reminder_due(found, [DUE + timedelta(days=each) for each in sent], on=on) == step


def test_a_paid_invoice_gets_no_reminder() -> None:
    paid = settle(D(100), [Received(LATER, D(100))], due_on=DUE, on=LATER)
    assert reminder_due(paid, [], on=LATER) is None
