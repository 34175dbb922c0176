"""How an invoice stands with its payments: open, part paid, paid or overpaid; days late; which reminder is due; one payment over several invoices.

Reminder days and the order of allocation: common practice, no source, set by the studio. Interest on late payment is another matter.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum

from shared.dates import days_late
from shared.money import ZERO

REMINDER_DAYS = (7, 21, 35)
LEAST_GAP_DAYS = 7


class Standing(StrEnum):
    """How an invoice stands."""

    OPEN = "open"
    PART_PAID = "part_paid"
    PAID = "paid"
    OVERPAID = "overpaid"


@dataclass(frozen=True, slots=True)
class Received:
    """Money received on a day; a mistake is undone by a second row below zero."""

    on: date
    amount: Decimal


@dataclass(frozen=True, slots=True)
class Settlement:
    """Where an invoice stands. ``left`` is still owed, ``credit`` was paid too much; ``paid_on`` the day it was last paid in full."""

    standing: Standing
    paid: Decimal
    left: Decimal
    credit: Decimal
    paid_on: date | None
    days_late: int

    @property
    def is_settled(self) -> bool:
        return self.standing in {Standing.PAID, Standing.OVERPAID}

    @property
    def is_late(self) -> bool:
        return self.days_late > 0 and not self.is_settled


def settle(
    to_pay: Decimal, payments: Iterable[Received], *, due_on: date, on: date, credited: Decimal = ZERO
) -> Settlement:
    """How an invoice over ``to_pay`` stands on a day, less what credit notes took off. Payments after that day are not counted.

    A paid invoice keeps the days it was paid late; one that is nothing to pay is paid from the start.
    """
    owed = to_pay - credited
    known = sorted((payment for payment in payments if payment.on <= on), key=lambda payment: payment.on)
    paid, paid_on = ZERO, None
    for payment in known:
        was_full = paid >= owed
        paid += payment.amount
        if paid >= owed and not was_full:
            paid_on = payment.on
        elif paid < owed:
            paid_on = None
    left, credit = max(ZERO, owed - paid), max(ZERO, paid - owed)
    if left:
        standing = Standing.PART_PAID if paid > 0 else Standing.OPEN
        return Settlement(standing, paid, left, credit, None, days_late(due_on, on))
    late = days_late(due_on, paid_on) if paid_on else 0
    return Settlement(Standing.OVERPAID if credit else Standing.PAID, paid, left, credit, paid_on, late)


def reminder_due(
    settlement: Settlement,
    sent: Sequence[date],
    *,
    on: date,
    after_days: Sequence[int] = REMINDER_DAYS,
    least_gap: int = LEAST_GAP_DAYS,
) -> int | None:
    """The step of the reminder to send on a day (1 is the first), or None: not late enough, all sent, or the last one too fresh."""
    step = len(sent) + 1
    if settlement.is_settled or step > len(after_days) or settlement.days_late < after_days[step - 1]:
        return None
    if sent and (on - max(sent)).days < least_gap:
        return None
    return step
