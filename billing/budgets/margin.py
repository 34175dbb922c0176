"""What the photographer keeps of an option: its sum before tax, less what is laid out, less the days it takes at the rate to live on.

Break-even is the sum before tax at which nothing is left over and nothing is missing. How hours count as days (by the hours in a working
day) and what counts as laid out (costs passed on, before their mark-up) is common practice, no source. For the owner's eyes only.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from billing.estimates.pricing import LineKind, OfferedLine
from billing.estimates.worked import days_of_line
from shared.money import ZERO, round_exact, round_money

OWN_TIME = frozenset(
    {LineKind.SHOOTING_DAY, LineKind.HALF_DAY, LineKind.PREPARATION, LineKind.OVERTIME, LineKind.FINISHING}
)


@dataclass(frozen=True, slots=True)
class Margin:
    """Sums before tax in the estimate's currency. ``days``: own days worked; ``per_day`` what each brings in, None without a day."""

    net: Decimal
    outlay: Decimal
    days: Fraction
    living: Decimal
    left: Decimal
    break_even: Decimal
    per_day: Decimal | None

    @property
    def days_shown(self) -> Decimal:
        """Days with two decimals, for reading; the sums are reckoned with the exact days."""
        return round_exact(self.days)

    @property
    def is_short(self) -> bool:
        return self.left < 0


def margin_of(
    lines: Iterable[tuple[OfferedLine, str]], *, net: Decimal, day_to_live_on: Decimal, hours_in_day: Decimal
) -> Margin:
    """The margin of the lines taken; each comes with its unit (day, half_day, hour …). ``net``: their sum after discount, disbursements too.

    ``day_to_live_on`` ≥ 0 and ``hours_in_day`` > 0, in the same currency. One rounding a sum.
    """
    if hours_in_day <= 0 or day_to_live_on < 0:
        raise ValueError("A working day has more than 0 hours and costs 0 or more.")
    taken = list(lines)
    outlay = round_money(
        sum((line.quantity * line.unit_price for line, _ in taken if line.is_at_cost or line.is_disbursement), ZERO)
    )
    own = [(line, unit) for line, unit in taken if line.kind in OWN_TIME and not line.is_at_cost]
    days = sum((days_of_line(line.kind, line.quantity, unit, hours_in_day) for line, unit in own), Fraction(0))
    living = round_exact(days * Fraction(day_to_live_on))
    earned = net - outlay
    return Margin(
        net=net,
        outlay=outlay,
        days=days,
        living=living,
        left=earned - living,
        break_even=outlay + living,
        per_day=round_exact(Fraction(earned) / days) if days else None,
    )
