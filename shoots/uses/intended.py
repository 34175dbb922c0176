"""A use: class × media × territory × days × copies. The value refuses to be wrong at birth.

Classes. *Advertising* is every use that promotes or sells, the licensee's own website, menu and posts included; *editorial*
informs, in a publication; *stock* is sale through a library or to unknown buyers. *Own promotion* is advertising of the
licensee's own house only.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import InitVar, dataclass
from datetime import date
from enum import StrEnum

from shared.dates import add_months
from shoots.uses.shipped import IN_FORCE
from shoots.uses.trees import Tree, Trees, UnknownCode

CLASS_BITS = {"editorial": 1, "advertising": 2, "stock": 4}
LONGEST_MONTHS = 1200
MOST_COPIES = 1_000_000_000
ENDLESS = "endless"
"""A term without end, as forms and addresses send it."""

ANY_NUMBER = 0
"""Copies of a use asked for that are not to be limited: said explicitly, where None says nothing. A licence without a limit has None."""


def copies_as_asked(granted: int | None, media: Iterable[str], trees: Trees = IN_FORCE) -> int | None:
    """The copies a licence grants as a use asks for them: a counted medium without a limit has ``ANY_NUMBER`` of them."""
    return ANY_NUMBER if granted is None and trees.media.is_counted(frozenset(media)) else granted


def copies_needed(asked: int | None) -> int | None:
    """The copies a licence must leave for a use asked for: where they are not to be limited, more than can be typed."""
    return MOST_COPIES + 1 if asked == ANY_NUMBER else asked


class Exclusivity(StrEnum):
    """Against whom a licence shuts others out: nobody, firms of the same trade, everybody."""

    NONE = "none"
    TRADE = "trade"
    PICTURE = "picture"


class Begins(StrEnum):
    """When use may begin."""

    ON_PAYMENT = "on_payment"
    ON_DELIVERY = "on_delivery"
    ON_DATE = "on_date"


class InvalidUse(ValueError):
    """A use that can't be. `path` names the faulty part, as `media` or `use_until`."""

    def __init__(self, path: str, message: str) -> None:
        super().__init__(message)
        self.path = path


def class_bits(classes: Iterable[str], *, path: str = "classes") -> int:
    """The classes as one number: editorial 1, advertising 2, stock 4. Raises InvalidUse."""
    bits = 0
    for name in classes:
        if name not in CLASS_BITS:
            raise InvalidUse(path, f"“{name}” is not a class of use: choose editorial, advertising or stock.")
        bits |= CLASS_BITS[name]
    return bits


def class_names(bits: int) -> tuple[str, ...]:
    """The names of the classes in `bits`, in the fixed order."""
    return tuple(name for name, bit in CLASS_BITS.items() if bits & bit)


def check_codes(codes: frozenset[str], tree: Tree, *, path: str, noun: str) -> None:
    """Raise InvalidUse unless there is a code and the tree knows each."""
    if not codes:
        raise InvalidUse(path, f"Choose at least one {noun}.")
    try:
        tree.mask(codes)
    except UnknownCode as error:
        raise InvalidUse(path, f"“{error.code}” is not a known {noun}.") from None


def check_box(classes: frozenset[str], media: frozenset[str], territories: frozenset[str], trees: Trees) -> None:
    """Raise InvalidUse unless classes, media and territories are known and none is empty."""
    if not classes:
        raise InvalidUse("classes", "Choose at least one class of use.")
    class_bits(classes)
    check_codes(media, trees.media, path="media", noun="medium")
    check_codes(territories, trees.territories, path="territories", noun="territory")


def check_months(months: int | None, *, path: str) -> None:
    """Raise InvalidUse unless the term is without end or 1 to 1,200 months."""
    if months is not None and not 1 <= months <= LONGEST_MONTHS:
        raise InvalidUse(path, f"A term has 1 to {LONGEST_MONTHS} months, or no end: not {months}.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Use:
    """A use on calendar days `[use_from, use_until)`; `use_until = None` is perpetual, `copies = None` nothing counted.

    The territory of a use on an own website or in organic posts is the market aimed at, wherever it is read.
    Raises InvalidUse.
    """

    classes: frozenset[str]
    media: frozenset[str]
    territories: frozenset[str]
    use_from: date
    use_until: date | None
    copies: int | None = None
    trees: InitVar[Trees] = IN_FORCE

    def __post_init__(self, trees: Trees) -> None:
        check_box(self.classes, self.media, self.territories, trees)
        if self.use_until is not None and self.use_until <= self.use_from:
            raise InvalidUse(
                "use_until", "The last day of use is before the first day. Choose a last day on or after it."
            )
        if self.copies is not None and self.copies < 0:
            raise InvalidUse("copies", "The number of copies can't be below 0.")


@dataclass(frozen=True, slots=True, kw_only=True)
class IntendedUse:
    """A use before its first day is known: what a client asks for, an estimate prices and an unplaced licence grants.

    `months = None` is perpetual; `exclusive_months = None` is the whole term. Raises InvalidUse.
    """

    classes: frozenset[str]
    media: frozenset[str]
    territories: frozenset[str]
    months: int | None
    exclusivity: Exclusivity = Exclusivity.NONE
    exclusive_months: int | None = None
    copies: int | None = None
    trees: InitVar[Trees] = IN_FORCE

    def __post_init__(self, trees: Trees) -> None:
        check_box(self.classes, self.media, self.territories, trees)
        check_months(self.months, path="months")
        check_months(self.exclusive_months, path="exclusive_months")
        if self.copies is not None and self.copies < 0:
            raise InvalidUse("copies", "The number of copies can't be below 0.")

    def starting(self, first: date, *, trees: Trees = IN_FORCE) -> Use:
        """This use on calendar days from `first`. Raises InvalidUse when it would run past the year 9999."""
        return Use(
            classes=self.classes,
            media=self.media,
            territories=self.territories,
            use_from=first,
            use_until=end_of_term(first, self.months, path="months"),
            copies=self.copies,
            trees=trees,
        )


def end_of_term(first: date, months: int | None, *, path: str) -> date | None:
    """The first day after a term from `first`; None is perpetual. Raises InvalidUse past the year 9999."""
    if months is None:
        return None
    try:
        return add_months(first, months)
    except (ValueError, OverflowError):
        raise InvalidUse(path, "The term would end after the year 9999. Choose a shorter one, or no end.") from None


def own_promotion_of_house(
    territories: Iterable[str], *, months: int | None = 24, media: Iterable[str] = ("web.own", "web.social")
) -> IntendedUse:
    """The commonest job, offered first: a house promotes itself on its website and in its own posts, not exclusively."""
    return IntendedUse(
        classes=frozenset({"advertising"}), media=frozenset(media), territories=frozenset(territories), months=months
    )


def is_own_promotion(classes: frozenset[str], media: frozenset[str], *, trees: Trees = IN_FORCE) -> bool:
    """True when the use is advertising alone and every medium carries the mark of own promotion."""
    return classes == frozenset({"advertising"}) and trees.media.is_own_promotion(media)
