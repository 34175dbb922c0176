"""How much to cook and how much to hold back, so that a moment can be had as often as it is wanted.

Quantities are Fractions in the kitchen's own unit and never leave it: no millilitre becomes a gram. Nothing is rounded here; one
rounding happens where a figure is shown (``shoots.shopping.wording``). The rules are common practice, no source.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

FREE, KEEP, MANY, ONCE = "free", "keep", "many", "once"
MOST_TAKES = 99
MOST_PORTIONS = 2_000


class InvalidQuantity(ValueError):
    """A number that cannot be cooked or counted. Says which and what to write instead, in words for the person."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is wanted of a moment: how often it can be had (``repeat``) and in how many ``takes``.

    ``can_split``: the cook can hold part back (*keep*). ``is_portion``: each take spends a finished portion and not a piece of the
    ingredients (*many*). ``per_take``: pieces or portions a take spends (*many*). ``batch``: portions of one more batch (*once*, and
    *keep* that cannot be split).
    """

    repeat: str
    takes: int = 1
    can_split: bool = True
    is_portion: bool = False
    per_take: int = 1
    batch: int = 1

    def __post_init__(self) -> None:
        if not 1 <= self.takes <= MOST_TAKES:
            raise InvalidQuantity(f"{self.takes:,} takes cannot be planned. Enter 1 to {MOST_TAKES}.")
        if self.per_take < 1 or self.batch < 1:
            raise InvalidQuantity("A take spends at least one piece, and a batch is at least one portion.")

    @property
    def is_split(self) -> bool:
        """Is part of the quantity held back for the other takes?"""
        return self.repeat == KEEP and self.can_split and self.takes > 1

    @property
    def spare_pieces(self) -> int:
        """Pieces of an ingredient to have beyond those the dish needs: each take after the first spends ``per_take`` of them."""
        return (self.takes - 1) * self.per_take if self.repeat == MANY and not self.is_portion else 0

    @property
    def spare_portions(self) -> int:
        """Portions to cook beyond the others: a batch, or a finished piece, for each take after the first."""
        if self.repeat == ONCE or (self.repeat == KEEP and not self.can_split):
            return (self.takes - 1) * self.batch
        if self.repeat == MANY and self.is_portion:
            return (self.takes - 1) * self.per_take
        return 0

    @property
    def is_single(self) -> bool:
        """Is there one chance only, so that the camera must be ready first?"""
        return self.repeat == ONCE and self.takes == 1


@dataclass(frozen=True, slots=True)
class Portions:
    """The portions of a dish by what becomes of them."""

    eaten: int = 0
    heroes: int = 2
    stand_ins: int = 1
    spares: int = 0

    @property
    def total(self) -> int:
        return self.eaten + self.heroes + self.stand_ins + self.spares


@dataclass(frozen=True, slots=True)
class Split:
    """A quantity shared out among takes: ``parts`` in order, the first for the first take, the others held back."""

    whole: Fraction
    parts: tuple[Fraction, ...]

    @property
    def a_take(self) -> Fraction:
        return self.parts[0]

    @property
    def held_back(self) -> Fraction:
        return self.whole - self.parts[0]

    @property
    def is_even(self) -> bool:
        return len(set(self.parts)) == 1


def portions_to_cook(*, eaten: int, heroes: int, stand_ins: int, wanted: Iterable[Wanted] = ()) -> Portions:
    """Heroes (two: one is the spare), stand-ins for setting the light, spares for what happens once, and what will be eaten.

    Raises InvalidQuantity for a negative number or more than ``MOST_PORTIONS`` in all.
    """
    if min(eaten, heroes, stand_ins) < 0:
        raise InvalidQuantity("Portions cannot be fewer than none. Enter 0 or more.")
    found = Portions(eaten, heroes, stand_ins, sum(each.spare_portions for each in wanted))
    if found.total > MOST_PORTIONS:
        raise InvalidQuantity(
            f"{found.total:,} portions are more than a kitchen cooks for pictures ({MOST_PORTIONS:,} at most). Ask for fewer takes, or count a batch smaller."
        )
    return found


def times_recipe(portions: int, serves: int) -> Fraction:
    """By how much the recipe is multiplied. Raises InvalidQuantity when it serves nobody."""
    if serves < 1:
        raise InvalidQuantity("A recipe for 0 portions cannot be multiplied. Enter how many it serves.")
    return Fraction(portions, serves)


def split(quantity: Fraction, takes: int, *, is_countable: bool = False) -> Split:
    """A quantity in as many parts as takes: (takes - 1) / takes of it is held back.

    What is countable and enough for every take stays whole, the larger parts first: 10 eggs in three are 4, 3 and 3.
    """
    if takes < 1 or quantity < 0:
        raise InvalidQuantity("A quantity is shared among one take or more.")
    if is_countable and quantity.denominator == 1 and quantity >= takes:
        each, over = divmod(quantity.numerator, takes)
        return Split(quantity, tuple(Fraction(each + (place < over)) for place in range(takes)))
    return Split(quantity, (quantity / takes,) * takes)


def pieces_to_buy(needed: Fraction, spare: int) -> int:
    """Whole pieces: what the dish needs, rounded up once, with the spares: 10 eggs and 2 spare are 12; 8 3/4 and 2 are 11."""
    return math.ceil(needed + spare)
