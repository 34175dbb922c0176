"""The frozen values that cook's sheet and call sheet are printed from. Typed words stay in the language they were typed in."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time
from itertools import groupby

from shoots.plan.sheet_words import SheetWords


@dataclass(frozen=True, slots=True)
class CueSaid:
    """A cue as it is said: the word in the cook's language and in the studio's."""

    cook: str
    studio: str


@dataclass(frozen=True, slots=True)
class CookLine:
    """A moment as the cook reads it. ``repeat`` is free, keep, many or once; ``tries`` how often it can be had (None: not said).

    ``day`` is named where the shoot has several.
    """

    what: str
    at: time | None = None
    wait_for: str = ""
    cues: tuple[CueSaid, ...] = ()
    hazard: str = ""
    hold_back: str = ""
    repeat: str = ""
    tries: int | None = None
    is_must: bool = True
    day: date | None = None


@dataclass(frozen=True, slots=True)
class DishAllergens:
    """A dish, and its allergens as whoever told them; ``told_by`` is empty while nobody was asked.

    ``keys`` are the told ones by their key, or as typed where they are none of the fourteen; ``untold`` the keys that the recipe
    names and nobody told.
    """

    dish: str
    told: tuple[str, ...] = ()
    told_by: str = ""
    keys: tuple[str, ...] = ()
    untold: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class CookDish:
    """A dish of the cook's sheet with its moments in the order they come."""

    name: str
    portions: int | None
    allergens: DishAllergens
    lines: tuple[CookLine, ...]

    @property
    def first_at(self) -> time | None:
        """When its first moment comes, where that is planned."""
        return min((line.at for line in self.lines if line.at), default=None)

    @property
    def made_on(self) -> date | None:
        """Its day, where the shoot has several and a time is planned."""
        return next((line.day for line in self.lines if line.at and line.day), None)

    @property
    def held_back(self) -> tuple[str, ...]:
        """What to hold back for the whole dish, each thing once; several in one line are parted by semicolons."""
        things = [thing.strip() for line in self.lines for thing in line.hold_back.split(";")]
        return tuple(dict.fromkeys(thing for thing in things if thing))


@dataclass(frozen=True, slots=True, kw_only=True)
class CookSheet:
    """Everything the cook's sheet says. ``cook_language`` stands first, ``studio_language`` beside it.

    ``left_out`` counts the moments that are only nice to have and were left off; ``hazards`` has theirs, ``room`` those of the kitchen.
    """

    shoot: str
    house: str
    cook: str
    day: date | None
    from_time: time | None
    until_time: time | None
    first_call: time | None
    place: str
    cook_language: str
    studio_language: str
    dishes: tuple[CookDish, ...]
    words: SheetWords
    now: CueSaid
    stop: CueSaid
    photographer: str
    phone: str
    made_at: datetime
    identifier: str
    room: tuple[str, ...] = ()
    hazards: str = ""
    calls: tuple[str, ...] = ()
    left_out: int = 0
    last_day: date | None = None

    @property
    def languages(self) -> tuple[str, ...]:
        """The cook's language, then the studio's if it is another."""
        return tuple(dict.fromkeys((self.cook_language, self.studio_language)))

    @property
    def is_timed(self) -> bool:
        """Whether any moment has its time; where none has, no column is spent on times."""
        return any(dish.first_at for dish in self.dishes)

    @property
    def in_order(self) -> tuple[tuple[str, tuple[CookLine, ...]], ...]:
        """The moments as the day brings them, under the dish they belong to; those without a time stand last."""
        found = [(dish.name, line) for dish in self.dishes for line in dish.lines]
        found.sort(key=lambda each: (each[1].at is None, each[1].day or date.min, each[1].at or time()))
        return tuple(
            (name, tuple(line for _, line in lines)) for name, lines in groupby(found, key=lambda each: each[0])
        )


@dataclass(frozen=True, slots=True)
class CallPerson:
    """Somebody on the call sheet; ``part`` is a key of the parts of a shoot, ``photographer`` or ``key``."""

    name: str
    part: str
    phone: str = ""
    from_time: time | None = None
    until_time: time | None = None
    brings: str = ""


@dataclass(frozen=True, slots=True)
class CallTime:
    """A point of the day: when, what, of which dish; ``day`` where the shoot has several."""

    at: time
    what: str
    dish: str = ""
    day: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class CallSheet:
    """Everything the call sheet says, in one language for its fixed words."""

    language: str
    shoot: str
    house: str
    first_on: date | None
    last_on: date | None
    from_time: time | None
    until_time: time | None
    place: str
    address: str
    way_in: str
    key_holder: str
    key_phone: str
    house_rules: tuple[str, ...]
    calls: tuple[str, ...]
    hazards: tuple[str, ...]
    allergens: tuple[DishAllergens, ...]
    people: tuple[CallPerson, ...]
    times: tuple[CallTime, ...]
    portions: tuple[tuple[str, int | None], ...]
    cues: tuple[CueSaid, ...]
    cue_languages: tuple[str, ...]
    words: SheetWords
    photographer: str
    phone: str
    made_at: datetime
    identifier: str
    footer: tuple[str, ...] = ()
