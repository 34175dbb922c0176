"""From the recipes of a shoot to what is bought: each line times the portions, the same things of all dishes joined."""

from __future__ import annotations

import hashlib
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from shoots.shopping.quantities import Portions, Split, Wanted, split, times_recipe
from shoots.shopping.units import add_up, convert, is_countable, is_sold_whole, kind_of, name_key, rounded

AS_NEEDED = "as needed"
LONGEST_KEY = 200


@dataclass(frozen=True, slots=True)
class Line:
    """A line of a recipe: as written, and the quantity read from it. Of a range ``quantity`` is the upper end and ``low`` the lower."""

    text: str
    name: str
    quantity: Fraction | None = None
    unit: str = ""
    low: Fraction | None = None
    section: str = ""


@dataclass(frozen=True, slots=True)
class Use:
    """What a moment of a dish uses. ``lines``: places in the dish's list; ``part``: how much of the line it uses once (None: all of it)."""

    key: int
    what: str
    action: str
    wanted: Wanted
    lines: tuple[int, ...] = ()
    part: Fraction | None = None
    is_guess: bool = True


@dataclass(frozen=True, slots=True)
class ScaledLine:
    """A line times the portions. ``scaled``: what the dish needs; ``spare``: pieces beyond that; ``total``: both. None: not reckoned."""

    line: Line
    scaled: Fraction | None = None
    spare: int = 0
    held_back: Fraction = Fraction(0)

    @property
    def total(self) -> Fraction | None:
        return None if self.scaled is None else self.scaled + self.spare


@dataclass(frozen=True, slots=True)
class HoldBack:
    """Part of an ingredient kept for further takes of a moment. ``shared`` is None where no quantity could be read."""

    name: str
    unit: str
    shared: Split | None


@dataclass(frozen=True, slots=True)
class DishList:
    """A dish: its portions, how many the recipe serves (None: nobody said), its lines, and what its moments use."""

    key: int
    name: str
    portions: Portions
    serves: int | None
    lines: tuple[ScaledLine, ...] = ()
    uses: tuple[Use, ...] = ()

    @property
    def times(self) -> Fraction | None:
        """By how much the recipe is multiplied."""
        return None if self.serves is None else times_recipe(self.portions.total, self.serves)

    def hold_backs(self, use: Use) -> tuple[HoldBack, ...]:
        """What is held back for the takes of a moment that can be split; empty for any other."""
        if not use.wanted.is_split:
            return ()
        found = []
        for place in use.lines:
            line = self.lines[place].line
            whole = _used(line, use, self.times)
            shared = None if whole is None else split(whole, use.wanted.takes, is_countable=line.unit == "")
            found.append(HoldBack(line.name, line.unit, shared))
        return tuple(found)


@dataclass(frozen=True, slots=True)
class Source:
    """Where a line of the buying list comes from: the dish, and its scaled line."""

    dish: DishList
    scaled: ScaledLine


@dataclass(frozen=True, slots=True)
class BuyLine:
    """One thing to buy, joined from the dishes. ``exact`` is the sum in ``unit``; None: as needed, see the words of the recipe."""

    key: str
    name: str
    sources: tuple[Source, ...]
    exact: Fraction | None = None
    unit: str = ""

    @property
    def figure(self) -> Decimal | None:
        """What is bought: whole pieces and bunches, rounded up; a measure half up."""
        if self.exact is None:
            return None
        return Decimal(math.ceil(self.exact)) if is_sold_whole(self.unit) else rounded(self.exact, self.unit)

    @property
    def names(self) -> tuple[str, ...]:
        """The names that were joined, each once, as the recipes write them."""
        return tuple(dict.fromkeys(source.scaled.line.name for source in self.sources))

    @property
    def is_joined(self) -> bool:
        return len(self.sources) > 1


def scale_dish(
    key: int, name: str, *, portions: Portions, serves: int | None, lines: Sequence[Line], uses: Sequence[Use]
) -> DishList:
    """A dish's list for its portions. Without a number of servings no line is reckoned.

    Raises InvalidQuantity where the recipe serves nobody.
    """
    times = None if serves is None else times_recipe(portions.total, serves)
    scaled = []
    for place, line in enumerate(lines):
        if line.quantity is None or times is None:
            scaled.append(ScaledLine(line))
            continue
        mine = [use for use in uses if place in use.lines]
        spare = sum(use.wanted.spare_pieces for use in mine if is_countable(line.unit))
        held = sum((_held(line, use, times) for use in mine), Fraction(0))
        needed = line.quantity * times
        scaled.append(ScaledLine(line, needed, spare, min(held, needed)))
    return DishList(key, name, portions, serves, tuple(scaled), tuple(uses))


def join(dishes: Iterable[DishList]) -> tuple[BuyLine, ...]:
    """The buying list of several dishes, in the order things first come up; what has no quantity stands last.

    Joined is what has the same name, whatever its capitals and plural, and units that can be added.
    """
    groups: dict[tuple[str, str], list[Source]] = {}
    for dish in dishes:
        for scaled in dish.lines:
            kind = AS_NEEDED if scaled.total is None else kind_of(scaled.line.unit)
            groups.setdefault((name_key(scaled.line.name), kind), []).append(Source(dish, scaled))
    return tuple(
        _buy_line(name, kind, sources)
        for (name, kind), sources in sorted(groups.items(), key=lambda each: each[0][1] == AS_NEEDED)
    )


def _buy_line(name: str, kind: str, sources: list[Source]) -> BuyLine:
    key, shown = f"{name}|{kind}", sources[0].scaled.line.name
    if len(key) > LONGEST_KEY:
        key = f"{key[: LONGEST_KEY - 20]}#{hashlib.sha256(key.encode()).hexdigest()[:16]}"
    sums = [(source.scaled.total, source.scaled.line.unit) for source in sources if source.scaled.total is not None]
    if not sums:
        return BuyLine(key, shown, tuple(sources))
    return BuyLine(key, shown, tuple(sources), *add_up(sums))


def _used(line: Line, use: Use, times: Fraction | None) -> Fraction | None:
    """How much of a line a moment uses, times the recipe."""
    whole = use.part if use.part is not None and len(use.lines) == 1 else line.quantity
    return None if whole is None or times is None else whole * times


def _held(line: Line, use: Use, times: Fraction) -> Fraction:
    whole = _used(line, use, times)
    if whole is None or not use.wanted.is_split:
        return Fraction(0)
    return split(whole, use.wanted.takes, is_countable=line.unit == "").held_back


def parts_of(line: BuyLine) -> tuple[Fraction, Fraction, Fraction, Fraction, Fraction]:
    """How much of a line is eaten, for heroes, for stand-ins and spare, and how much of all is held back; in the line's unit.

    The first four add up to what the dishes need exactly, before pieces are rounded up.
    """
    eaten = heroes = stand_ins = spare = held = Fraction(0)
    for source in line.sources:
        total, scaled = source.dish.portions, source.scaled
        if scaled.scaled is None or not total.total:
            continue
        unit = scaled.line.unit
        portion = convert(scaled.scaled, unit, line.unit) / total.total
        eaten += portion * total.eaten
        heroes += portion * total.heroes
        stand_ins += portion * total.stand_ins
        spare += portion * total.spares + convert(Fraction(scaled.spare), unit, line.unit)
        held += convert(scaled.held_back, unit, line.unit)
    return eaten, heroes, stand_ins, spare, held
