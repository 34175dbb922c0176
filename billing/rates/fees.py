"""The usage fee of a licence: base × class × media × territory × term and exclusivity × copies × pictures, exactly, rounded up once.

    line  = base × C(classes) × M(media) × T(territories) × (τ(term) + (E − 1) × min(τ(exclusive term), τ(term))) × Q(copies)
    total = V(pictures) × the least sum of lines over all ways to put the request's items into lines
    fee   = the total rounded up to the step, at least the minimum

All factors are starting values of the studio's own card: common practice, no source. Arithmetic is in fractions; binary floats are
wrong by a whole step where a total meets a step exactly.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from itertools import pairwise
from math import ceil

from billing.rates.card import Card, PriceTree, band_factor
from shared.dates import add_months, months_between
from shoots.uses.intended import ANY_NUMBER, LONGEST_MONTHS

MOST_ITEMS = 6
MOST_COVERS_KEPT = 4096  # a card lives as long as the process
UNLIMITED = "unlimited"
CALENDAR_ROUND = (
    400  # years after which the Gregorian calendar repeats itself, weekday for weekday (146,097 days are 20,871 weeks)
)


def copies_priced(asked: int | None) -> int | str | None:
    """The copies of a use asked for, as an item has them: ``UNLIMITED`` for any number."""
    return UNLIMITED if asked == ANY_NUMBER else asked


class Unpriced(StrEnum):
    """Why a request has no fee."""

    ITEMS = "ITEMS"
    QUANTITY_REQUIRED = "QUANTITY_REQUIRED"


class CannotPrice(ValueError):
    """A request that has no fee. ``why`` is the code, the sentence what to do."""

    def __init__(self, why: Unpriced) -> None:
        self.why = why
        super().__init__(
            f"A licence has 1 to {MOST_ITEMS} items. Put items with the same use together."
            if why == Unpriced.ITEMS
            else "Say how many copies are printed, or choose unlimited: a printed use is priced by its copies."
        )


class InvalidItem(ValueError):
    """An item without class, media or territory, or with a term, a number of copies or an exclusivity that cannot be. ``field`` is the faulty one."""

    def __init__(self, sentence: str, field: str = "") -> None:
        self.field = field
        super().__init__(sentence)


class Exclusive(StrEnum):
    """What is kept from others: nothing, the use in the same trade, or the picture."""

    NONE = "none"
    TRADE = "trade"
    PICTURE = "picture"


@dataclass(frozen=True, slots=True)
class UseItem:
    """One use asked for. ``months`` None is without end; ``copies`` None is not counted, "unlimited" a choice; ``exclusive_months`` None the whole term."""

    classes: frozenset[str]
    media: frozenset[str]
    territories: frozenset[str]
    use_from: date
    months: int | None
    copies: int | str | None = None
    exclusive: Exclusive = Exclusive.NONE
    exclusive_months: int | None = None

    def __post_init__(self) -> None:
        for field in ("classes", "media", "territories"):
            if not getattr(self, field):
                raise InvalidItem("A use names at least one class, one medium and one territory.", field)
        if self.months is not None and not 1 <= self.months <= LONGEST_MONTHS:
            raise InvalidItem(f"A term has 1 to {LONGEST_MONTHS:,} months, or no end.", "months")
        if self.exclusive_months is not None and self.exclusive_months < 0:
            raise InvalidItem("An exclusive term has 0 months or more, or is the whole term.", "exclusive_months")
        if isinstance(self.copies, str) and self.copies != UNLIMITED:
            raise InvalidItem("Copies are a number, or unlimited.", "copies")
        if isinstance(self.copies, int) and self.copies < 1:
            raise InvalidItem("Copies are 1 or more, or unlimited.", "copies")


@dataclass(frozen=True, slots=True)
class Cover:
    """The cheapest set of codes whose leaves include the wanted ones, and its factor. ``is_wider``: it grants more than was asked."""

    factor: Fraction
    codes: tuple[str, ...]
    is_wider: bool


@dataclass(frozen=True, slots=True)
class Working:
    """One factor of a line: its name, its value, and where it comes from. The values of a line multiply out to its sum."""

    name: str
    value: Fraction
    reason: str


@dataclass(frozen=True, slots=True)
class FeeLine:
    """One line: which items it holds (by index), its working, its exact sum, and the covers that were taken."""

    items: tuple[int, ...]
    working: tuple[Working, ...]
    total: Fraction
    classes: Cover
    media: Cover
    territories: Cover


@dataclass(frozen=True, slots=True)
class Fee:
    """The fee of a request: exact total, fee to ask, and its lines."""

    total: Fraction
    fee: Decimal
    lines: tuple[FeeLine, ...]
    is_minimum: bool


def cheapest_cover(prices: PriceTree, wanted: frozenset[str]) -> Cover:
    """The least total factor of any set of codes whose leaves include those of ``wanted``; the wider code on a tie.

    On a tree: nothing for a code that meets nothing wanted; its own factor for a leaf or where its rest is wanted; else the lesser of its own
    factor and its children's covers. Raises UnknownCode.
    """
    return _cover_of(prices, prices.tree.mask(wanted))


def term_factor(card: Card, months: Fraction | int | None) -> Fraction:
    """τ: straight lines between the points; past the last its slope goes on, never above *perpetual*. None is perpetual."""
    if months is None:
        return card.term_perpetual
    points = card.term
    for (earlier, before), (later, after) in pairwise(points):
        if months <= later or later == points[-1][0]:
            return min(before + (after - before) * Fraction(months - earlier, later - earlier), card.term_perpetual)
    return min(points[0][1], card.term_perpetual)


def picture_factor(card: Card, pictures: int) -> Fraction:
    """V: marginal bands. 12 pictures are 5 × 1 + 5 × .85 + 2 × .70 on the shipped card."""
    if pictures < 1:
        raise InvalidItem("A licence is for one picture or more.")
    total, counted = Fraction(0), 0
    for limit, factor in card.picture_bands:
        until = pictures if limit is None else min(limit, pictures)
        total += factor * (until - counted)
        counted = until
        if counted == pictures:
            break
    return total


def copy_factor(card: Card, item: UseItem) -> Fraction:
    """Q: the first band large enough; 1 when nothing is counted. Raises CannotPrice when copies are needed and not given.

    An item that also names media that are not counted weighs at least 1, or adding a menu in few copies would make a website cheaper.
    """
    mask = card.media.tree.mask(item.media)
    counted = card.media.tree.counted_mask
    if not mask & counted:
        return Fraction(1)
    if item.copies is None:
        raise CannotPrice(Unpriced.QUANTITY_REQUIRED)
    factor = band_factor(card.copy_bands, None if isinstance(item.copies, str) else item.copies)
    return factor if not mask & ~counted else max(Fraction(1), factor)


def usage_fee(card: Card, pictures: int, items: Sequence[UseItem]) -> Fee:
    """The fee of a licence of ``pictures`` for 1 to 6 ``items``. Raises CannotPrice, InvalidItem, UnknownCode.

    The cheapest way to put the items into lines is found over sets of items: the cheapest of a set is one line with the set's first item and
    the cheapest of what is left. That looks at every way there is (``partitions``), but reckons each set once. On a tie: fewer lines.
    """
    if not 1 <= len(items) <= MOST_ITEMS:
        raise CannotPrice(Unpriced.ITEMS)
    volume = picture_factor(card, pictures)
    parts = [_part(card, item) for item in items]
    best: dict[int, tuple[Fraction, int, tuple[tuple[int, ...], ...]]] = {0: (Fraction(0), 0, ())}
    weights = [
        _weight(card, [part for index, part in enumerate(parts) if each >> index & 1])
        for each in range(1, 1 << len(items))
    ]
    for each in range(1, 1 << len(items)):
        first = each & -each
        rest = others = each ^ first
        ways = []
        while True:
            line = each ^ rest
            total, count, groups = best[rest]
            ways.append((weights[line - 1] + total, count + 1, (_indices(line), *groups)))
            if not rest:
                break
            rest = (rest - 1) & others
        best[each] = min(ways)
    lines = tuple(_line(card, pictures, volume, items, group) for group in best[(1 << len(items)) - 1][2])
    total = sum((each.total for each in lines), Fraction(0))
    rounded = ceil(total / card.step) * card.step
    return Fee(total, exact_decimal(max(card.minimum, rounded)), lines, rounded < card.minimum)


def change_fee(card: Card, new_fee: Decimal, agreed_fee: Decimal) -> Decimal:
    """What a change of use costs: the new fee less what was agreed then, plus handling; never money back."""
    return exact_decimal(max(Fraction(0), Fraction(new_fee) - Fraction(agreed_fee) + card.handling))


def renewal_fee(card: Card, pictures: int, items: Sequence[UseItem], months: int | None) -> Fee:
    """The fee to go on with the same uses for ``months`` more, by the card handed in (today's): each begins the day it would have ended.

    A renewal is a licence of its own, priced as one: common practice, no source. Raises InvalidItem for a use that never ends or whose end no
    calendar shows, CannotPrice.
    """
    return usage_fee(card, pictures, [_renewed(item, months) for item in items])


def retroactive_fee(card: Card, fee: Decimal, factor: Fraction = Fraction(1)) -> Decimal:
    """What a licence costs for a use found after it began: its fee as if asked for in time, times ``factor``, rounded up to the step, plus handling.

    The factor is the studio's own choice and at least 1 (asking late is never cheaper than asking in time): common practice, no source. What
    the law gives beyond a licence is not reckoned here. Raises ValueError for a factor below 1.
    """
    if factor < 1:
        raise ValueError(
            "A licence for a use found costs at least what it would have cost in time: the factor is 1 or more."
        )
    return exact_decimal(ceil(Fraction(fee) * factor / card.step) * card.step + card.handling)


def partitions(count: int) -> Iterator[list[tuple[int, ...]]]:
    """Every way to put ``count`` items into groups: 1, 2, 5, 15, 52, 203 ways for 1 to 6."""
    if count == 0:
        yield []
        return
    for smaller in partitions(count - 1):
        yield [*smaller, (count - 1,)]
        for index, group in enumerate(smaller):
            yield [*smaller[:index], (*group, count - 1), *smaller[index + 1 :]]


def exact_decimal(value: Fraction) -> Decimal:
    """A figure of the card as money with two decimals (steps finer than a cent are cut up to the cent)."""
    return Decimal(f"{ceil(value * 100)}E-2")  # read from text, a sum of any length stays exact


def _cover_of(prices: PriceTree, mask: int) -> Cover:
    # Fees of one card ask for the same few areas again and again; a walk over 256 territories is the dear part of a fee.
    known = prices.covers.get(mask)
    if known is None:
        covers = [_cover(prices, code, mask) for code in prices.roots]
        codes = tuple(code for _, part in covers for code in part)
        is_wider = bool(prices.tree.mask(frozenset(codes)) & ~mask)
        known = sum((each for each, _ in covers), Fraction(0)), codes, is_wider
        if len(prices.covers) >= MOST_COVERS_KEPT:
            prices.covers.clear()
        prices.covers[mask] = known
    return Cover(*known)


def _cover(prices: PriceTree, code: str, mask: int) -> tuple[Fraction, tuple[str, ...]]:
    tree = prices.tree
    if not tree.node_mask(code) & mask:
        return Fraction(0), ()
    own = (prices.factor(code), (code,))
    children = tree.children(code)
    below = 0
    for child in children:
        below |= tree.node_mask(child)
    if not children or tree.node_mask(code) & mask & ~below:
        return own
    parts = [_cover(prices, child, mask) for child in children]
    apart = sum((factor for factor, _ in parts), Fraction(0))
    return own if own[0] <= apart else (apart, tuple(each for _, codes in parts for each in codes))


@dataclass(frozen=True, slots=True)
class _Part:
    """What of one item its lines need, looked up once."""

    item: UseItem
    classes: int
    media: int
    territories: int
    exclusive_term: Fraction
    copies: Fraction


def _part(card: Card, item: UseItem) -> _Part:
    return _Part(
        item,
        card.classes.tree.mask(item.classes),
        card.media.tree.mask(item.media),
        card.territories.tree.mask(item.territories),
        _exclusive_term(card, item),
        copy_factor(card, item),
    )


def _weight(card: Card, parts: Sequence[_Part]) -> Fraction:
    """The sum of one line without base and pictures, which are the same for every line."""
    classes = media = territories = 0
    for part in parts:
        classes, media, territories = classes | part.classes, media | part.media, territories | part.territories
    held = [part.item for part in parts]
    term = term_factor(card, _hull(held))
    kind = max(card.exclusivity[item.exclusive] for item in held)
    return (
        _cover_of(card.classes, classes).factor
        * _cover_of(card.media, media).factor
        * _cover_of(card.territories, territories).factor
        * (term + (kind - 1) * min(max(part.exclusive_term for part in parts), term))
        * max(part.copies for part in parts)
    )


def _indices(mask: int) -> tuple[int, ...]:
    return tuple(index for index in range(MOST_ITEMS) if mask >> index & 1)


def _line(card: Card, pictures: int, volume: Fraction, items: Sequence[UseItem], group: tuple[int, ...]) -> FeeLine:
    held = [items[index] for index in group]
    classes = cheapest_cover(card.classes, frozenset().union(*(item.classes for item in held)))
    media = cheapest_cover(card.media, frozenset().union(*(item.media for item in held)))
    territories = cheapest_cover(card.territories, frozenset().union(*(item.territories for item in held)))
    months = _hull(held)
    term = term_factor(card, months)
    kind = max((item.exclusive for item in held), key=lambda each: card.exclusivity[each])
    exclusive_term = min(max(_exclusive_term(card, item) for item in held), term)
    copies = max(copy_factor(card, item) for item in held)
    length = "without end" if months is None else f"{_text(months)} month{'' if months == 1 else 's'}"
    term_reason = f"{length}, not exclusive"
    if kind != Exclusive.NONE:
        extra = f"({_text(card.exclusivity[kind])} − 1) × {_text(exclusive_term)}"
        term_reason = f"{length} {_text(term)}, exclusive ({kind}) + {extra}"
    working = (
        Working("base", card.base, "the card’s base"),
        Working("classes", classes.factor, ", ".join(classes.codes)),
        Working("media", media.factor, ", ".join(media.codes)),
        Working("territories", territories.factor, ", ".join(territories.codes)),
        Working("term", term + (card.exclusivity[kind] - 1) * exclusive_term, term_reason),
        Working("copies", copies, _copies_reason(card, held)),
        Working("pictures", volume, f"{pictures} picture{'' if pictures == 1 else 's'}"),
    )
    total = Fraction(1)
    for step in working:
        total *= step.value
    return FeeLine(group, working, total, classes, media, territories)


def _hull(items: Sequence[UseItem]) -> Fraction | None:
    if any(item.months is None for item in items):
        return None
    if len(items) == 1:
        return Fraction(items[0].months or 0)
    first = min(item.use_from for item in items)
    # Reckoned in the same days of an earlier round of the calendar, so that no term runs past its last year, 9999.
    back = (first.year - 1) // CALENDAR_ROUND * CALENDAR_ROUND
    starts = [item.use_from.replace(year=item.use_from.year - back) for item in items]
    if max(starts).year + LONGEST_MONTHS // 12 + 1 > date.max.year:
        raise InvalidItem("These uses lie too far apart for one licence.", "use_from")
    until = max(add_months(start, item.months or 0) for start, item in zip(starts, items, strict=True))
    return months_between(min(starts), until)


def _renewed(item: UseItem, months: int | None) -> UseItem:
    if item.months is None:
        raise InvalidItem("A use without end is not renewed.", "months")
    try:
        return replace(item, use_from=add_months(item.use_from, item.months), months=months)
    except (ValueError, OverflowError) as wrong:
        if isinstance(wrong, InvalidItem):
            raise
        raise InvalidItem("This use ends after the year 9999: it cannot be renewed.", "use_from") from wrong


def _exclusive_term(card: Card, item: UseItem) -> Fraction:
    if item.exclusive == Exclusive.NONE:
        return Fraction(0)
    whole = term_factor(card, item.months)
    return whole if item.exclusive_months is None else min(term_factor(card, item.exclusive_months), whole)


def _copies_reason(card: Card, items: Sequence[UseItem]) -> str:
    counted = [item for item in items if card.media.tree.is_counted(item.media)]
    if not counted:
        return "not counted"
    return (
        "unlimited copies"
        if any(isinstance(item.copies, str) for item in counted)
        else f"{max(int(item.copies or 0) for item in counted):,} copies"
    )


def _text(value: Fraction) -> str:
    return f"{float(value):.4f}".rstrip("0").rstrip(".")
