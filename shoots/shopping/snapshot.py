"""The frozen values that shopping list and prop list are printed and tabled from. Typed words stay in the language they were typed in."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

from shoots.shopping.costs import Costs
from shoots.shopping.lists import BuyLine, DishList


@dataclass(frozen=True, slots=True)
class PaperDish:
    """A dish of the shopping list: its list, what the cook is asked for (moment, sentences), and what becomes of what is left."""

    listed: DishList
    has_recipe: bool = True
    asks: tuple[tuple[str, tuple[str, ...]], ...] = ()
    once: tuple[str, ...] = ()
    garnish: str = ""
    eaten: tuple[Decimal | None, str] = (None, "")
    given: tuple[Decimal | None, str] = (None, "")
    thrown: Decimal | None = None


@dataclass(frozen=True, slots=True)
class BoughtLine:
    """A line of the buying list; ``line`` is None where it was typed by hand. ``price`` is of all that is bought."""

    name: str
    line: BuyLine | None
    where: str = ""
    who: str = ""
    price: Decimal | None = None
    is_bought: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class ShoppingSheet:
    """Everything the shopping list says. ``costs`` is None while no price is known."""

    language: str
    shoot: str
    house: str
    day: date | None
    place: str
    dishes: tuple[PaperDish, ...]
    lines: tuple[BoughtLine, ...]
    currency: str
    costs: Costs | None
    photographer: str
    made_at: datetime
    identifier: str
    footer: tuple[str, ...] = ()
    last_day: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PropLine:
    """A prop: what, for what, where it comes from and goes back, and how many were counted out and back by whom."""

    what: str
    kind: str
    count: int
    dish: str = ""
    shot: str = ""
    source: str = "own"
    from_whom: str = ""
    goes_back_to: str = ""
    back_by: date | None = None
    counted_out: int | None = None
    out_by: str = ""
    out_at: datetime | None = None
    counted_back: int | None = None
    back_counted_by: str = ""
    back_at: datetime | None = None
    damage: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PropSheet:
    """Everything the prop list says."""

    language: str
    shoot: str
    house: str
    day: date | None
    place: str
    lines: tuple[PropLine, ...]
    photographer: str
    made_at: datetime
    identifier: str
    footer: tuple[str, ...] = ()
    last_day: date | None = None
