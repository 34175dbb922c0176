"""How an invoice stands, in a word, from what is to pay, what was paid and the day. For lists: one row, no history of payments."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from shared.dates import days_late
from shared.money import ZERO, round_money

CREDIT_NOTE = "credit_note"
# Less than half a cent is nothing: a database that adds in binary fractions leaves such crumbs.
CRUMB = Decimal("0.005")


@dataclass(frozen=True, slots=True)
class Standing:
    """``word`` is the state as the screens write it, ``look`` its kind of mark; ``left`` is owed, below zero it was paid too much."""

    word: str
    look: str
    left: Decimal
    days_late: int = 0

    @property
    def is_late(self) -> bool:
        return self.days_late > 0

    @property
    def is_owed(self) -> bool:
        return self.left > 0


def standing(
    *, kind: str, to_pay: Decimal, paid: Decimal, due_on: date, on: date, is_cancelled: bool, is_sent: bool
) -> Standing:
    """Where a paper stands on a day: not sent, sent, part paid, late, paid, overpaid, cancelled."""
    sent = ("Sent", "wait") if is_sent else ("Not sent", "open")
    paid = round_money(paid)
    if kind == CREDIT_NOTE:
        return Standing(*sent, ZERO)
    left = (ZERO if is_cancelled else to_pay) - paid
    if is_cancelled:
        return Standing("Cancelled, pay back" if paid > 0 else "Cancelled", "look" if paid > 0 else "plain", left)
    if left <= 0:
        return Standing("Paid", "done", left) if left == 0 else Standing("Overpaid", "look", left)
    late = days_late(due_on, on)
    if late:
        return Standing("Late, part paid" if paid > 0 else "Late", "look", left, late)
    if paid > 0:
        return Standing("Part paid", "wait", left)
    return Standing(*sent, left)
