"""The uses of an option as items of a fee, and the agreed fee shared out over the licences that come of them."""

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from math import floor


def carriers(lines: Sequence[tuple[Sequence[int], Fraction]], count: int) -> tuple[int, ...]:
    """Which of ``count`` items each is billed at: the first of its line, the first of all where there are no lines or it is in none."""
    firsts = {index: min(items) for items, _ in lines for index in items}
    return tuple(firsts.get(index, 0) for index in range(count))


def shares(agreed: Decimal, lines: Sequence[tuple[Sequence[int], Fraction]], count: int) -> tuple[Decimal, ...]:
    """What each of ``count`` items is billed for: a line's part of the agreed fee stands at its first item, the others of the line come with it.

    ``lines`` are the items of each line of the fee (by index) and its exact sum. Each part is cut down to the cent and the cents left over go to
    the first item, so the parts always sum to ``agreed``. Without lines (a fee typed by hand) the first item carries all of it.
    """
    parts = [Decimal(0)] * count
    whole = sum((total for _, total in lines), Fraction(0))
    for items, total in lines:
        if whole:
            parts[min(items)] += Decimal(floor(Fraction(agreed) * 100 * total / whole)) / 100
    parts[0] += agreed - sum(parts, Decimal(0))
    return tuple(parts)
