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
    """A moment as the cook reads it, on the ``day`` of the shoot counted from 1. ``repeat`` is free, keep, many or once; ``tries`` how often it can be had (None: not said);
    ``cook_says_now``: near flame, hot oil or blades the cook gives the word, not the camera."""

    what: str
    at: time | None = None
    wait_for: str = ""
    cues: tuple[CueSaid, ...] = ()
    hazard: str = ""
    hold_back: str = ""
    repeat: str = ""
    tries: int | None = None
    is_must: bool = True
    day: int = 1
    cook_says_now: bool = False


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
        return min(((line.day, line.at) for line in self.lines if line.at), default=(0, None))[1]

    @property
    def first_day(self) -> int:
        """On which day of the shoot its first moment comes."""
        return min((line.day for line in self.lines if line.at), default=1)

    @property
    def held_back(self) -> tuple[tuple[str, str], ...]:
        """What to hold back for the dish, with the moment it is for, in their order; several in one line are parted by semicolons."""
        things = [(line.what, thing.strip()) for line in self.lines for thing in line.hold_back.split(";")]
        return tuple(dict.fromkeys((what, thing) for what, thing in things if thing))


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
    def in_order(self) -> tuple[tuple[int, str, tuple[CookLine, ...]], ...]:
        """The moments as the days bring them, under their day (0: not planned yet, where there are several) and the dish they belong to; those without a time last."""
        found = [
            (line.day if line.at or not self.has_days else 0, dish.name, line)
            for dish in self.dishes
            for line in dish.lines
        ]
        found.sort(key=lambda each: (each[2].at is None, each[0], each[2].at or time()))
        return tuple(
            (day, name, tuple(line for _, _, line in lines))
            for (day, name), lines in groupby(found, key=lambda each: each[:2])
        )

    @property
    def has_days(self) -> bool:
        """Are moments planned on more than one day, so that a time says nothing without its day?"""
        return len({line.day for dish in self.dishes for line in dish.lines if line.at}) > 1


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
    """A point of a day: when, what, of which dish; ``on`` is its date where times stand on more than one day."""

    at: time
    what: str
    dish: str = ""
    on: date | None = None


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
