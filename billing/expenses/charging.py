"""What of a cost the client pays: net or gross, with or without mark-up, never above its cap; money laid out in their name apart.

A studio that reclaims VAT passes on the net, one that cannot passes on the gross (common practice, no source; check local law).
Money laid out in the client's name and on their account is passed on to the cent and without VAT; HMRC manual VTAXPER39000 lists
what must hold for that. The studio's own travel and meals are not such money.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from shared.money import ZERO, round_money


class InvalidCost(ValueError):
    """A cost whose tax exceeds it, or money laid out with a mark-up."""


class ChargeKind(StrEnum):
    """How a cost is passed on."""

    NOT = "not"
    AT_COST = "at_cost"
    WITH_MARKUP = "with_markup"
    DISBURSEMENT = "disbursement"


@dataclass(frozen=True, slots=True)
class Charged:
    """What is charged on for one cost, before VAT: ``base`` plus ``markup`` is ``net``."""

    base: Decimal
    markup: Decimal
    is_disbursement: bool = False

    @property
    def net(self) -> Decimal:
        return self.base + self.markup


def charge_on(
    gross: Decimal, tax: Decimal, kind: ChargeKind, *, markup_percent: Decimal = ZERO, reclaims_tax: bool
) -> Charged | None:
    """What the client is charged for a cost of ``gross`` with ``tax`` in it, before VAT; None when it is not passed on.

    Raises InvalidCost when the tax is not within the sum or money laid out carries a mark-up.
    """
    if not 0 <= tax < gross:
        raise InvalidCost("The VAT of a receipt is at least 0 and less than its total.")
    if kind == ChargeKind.NOT:
        return None
    if kind == ChargeKind.DISBURSEMENT:
        if markup_percent:
            raise InvalidCost("Money laid out in the client’s name is passed on exactly, without mark-up.")
        return Charged(round_money(gross), ZERO, is_disbursement=True)
    base = round_money(gross - tax if reclaims_tax else gross)
    markup = round_money(base * markup_percent / 100) if kind == ChargeKind.WITH_MARKUP else ZERO
    return Charged(base, markup)


@dataclass(frozen=True, slots=True)
class Capped:
    """Costs under a line marked *at most*: what they came to, what may be billed, and what needs the client's yes."""

    actual: Decimal
    cap: Decimal

    @property
    def billed(self) -> Decimal:
        return min(self.actual, self.cap)

    @property
    def excess(self) -> Decimal:
        return max(ZERO, self.actual - self.cap)


def under_cap(costs_net: Iterable[Decimal], agreed_net: Decimal, raised_to: Iterable[Decimal] = ()) -> Capped:
    """The costs of one line against its cap. ``raised_to`` are the sums the client has said yes to since; the highest counts."""
    return Capped(sum(costs_net, ZERO), max([agreed_net, *raised_to]))
