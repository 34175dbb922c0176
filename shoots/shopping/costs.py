"""What the food costs, apart by what becomes of it: eaten, heroes, stand-ins, spares; and how much of it was held back."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from shared.money import Money, round_money, share, total
from shoots.shopping.lists import BuyLine, parts_of


@dataclass(frozen=True, slots=True)
class Costs:
    """Sums in one currency. ``eaten`` to ``uncounted`` add up to ``whole``; ``held_back`` is part of it and never added again.

    ``uncounted``: things with a price and no quantity, salt or ice, which belong to no portion.
    """

    eaten: Money
    heroes: Money
    stand_ins: Money
    spares: Money
    uncounted: Money
    held_back: Money

    @property
    def whole(self) -> Money:
        parts = (self.eaten, self.heroes, self.stand_ins, self.spares, self.uncounted)
        return total(parts, self.eaten.currency)

    @property
    def for_pictures(self) -> Money:
        """What is cooked for the pictures and not to be eaten."""
        return self.heroes + self.stand_ins + self.spares


def costs_of(priced: Iterable[tuple[BuyLine | None, Decimal]], currency: str) -> Costs:
    """The costs of lines with the price of all that is bought of each; no line: something typed onto the list by hand.

    Each price is shared out to the coin by exact quantities (``shared.money.share``), so nothing is lost or counted twice.
    """
    nothing = Money(Decimal(0), currency)
    eaten = heroes = stand_ins = spares = uncounted = held_back = nothing
    for line, price in priced:
        whole = Money(round_money(price, currency), currency)
        *used, held = parts_of(line) if line is not None else (Fraction(0),) * 5
        weights = _whole_numbers(used)
        if not any(weights):
            uncounted = uncounted + whole
            continue
        parts = share(whole, weights)
        eaten, heroes = eaten + parts[0], heroes + parts[1]
        stand_ins, spares = stand_ins + parts[2], spares + parts[3]
        if held:
            rest = max(sum(used, Fraction(0)) - held, Fraction(0))
            held_back = held_back + share(whole, _whole_numbers((held, rest)))[0]
    return Costs(eaten, heroes, stand_ins, spares, uncounted, held_back)


def _whole_numbers(parts: Iterable[Fraction]) -> tuple[Decimal, ...]:
    parts = tuple(parts)
    common = math.lcm(*(part.denominator for part in parts))
    return tuple(Decimal(int(part * common)) for part in parts)
