"""A licence as a value: what it grants, on which days it covers, on which days it blocks others."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import InitVar, dataclass
from datetime import date, timedelta
from typing import Any

from shoots.licences.states import State, acts_as, is_blocking
from shoots.uses.days import earliest, is_before
from shoots.uses.intended import Begins, Exclusivity, InvalidUse, check_box, end_of_term
from shoots.uses.shipped import IN_FORCE
from shoots.uses.trees import Trees


class InvalidGrant(InvalidUse):
    """A licence that can't be. `path` names the faulty part."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Grant:
    """One licence. Days are half-open: `use_until`, `exclusive_until`, `embargo_until`, `cut_on` and `lapses_on` are the first
    day after; None is never. `copies = None` is unlimited. `left` is the state a superseded licence was in before.

    An unplaced licence (`is_placed = False`) covers nothing; exclusive, it holds its pictures from `use_from`, the day of its
    acceptance, without end. Raises InvalidGrant (a licence with no cell among the reasons).
    """

    id: str
    licensee: str
    pictures: frozenset[str]
    classes: frozenset[str]
    media: frozenset[str]
    territories: frozenset[str]
    use_from: date
    use_until: date | None
    state: State
    trade: str | None = None
    exclusivity: Exclusivity = Exclusivity.NONE
    exclusive_until: date | None = None
    embargo_until: date | None = None
    cut_on: date | None = None
    begins: Begins = Begins.ON_PAYMENT
    begins_on: date | None = None
    delivered_on: date | None = None
    lapses_on: date | None = None
    copies: int | None = None
    copies_used: int = 0
    left: State = State.PAID
    is_placed: bool = True
    trees: InitVar[Trees] = IN_FORCE

    def __post_init__(self, trees: Trees) -> None:
        try:
            check_box(self.classes, self.media, self.territories, trees)
        except InvalidUse as error:
            raise InvalidGrant(error.path, str(error)) from None
        if not self.pictures:
            raise InvalidGrant("pictures", "Choose at least one picture.")
        if self.use_until is not None and self.use_until <= self.use_from:
            raise InvalidGrant(
                "use_until", "The last day of use is before the first day. Choose a last day on or after it."
            )
        if self.copies is not None and self.copies < 0:
            raise InvalidGrant("copies", "The number of copies can't be below 0.")
        if self.copies_used < 0:
            raise InvalidGrant("copies_used", "The number of copies used can't be below 0.")
        if self.begins is Begins.ON_DATE and self.begins_on is None:
            raise InvalidGrant("begins", "Give the date on which use may begin.")

    @property
    def until(self) -> date | None:
        """The first day after the licence: its end, or the day it was cut short."""
        return earliest(self.use_until, self.cut_on)

    @property
    def is_blocking(self) -> bool:
        """True when the licence stands against others."""
        return is_blocking(self.state)

    @property
    def is_exclusive(self) -> bool:
        """True when it shuts others out, of its trade or all."""
        return self.exclusivity is not Exclusivity.NONE

    @property
    def is_paid(self) -> bool:
        """True when the fee is paid: without it the note UNPAID stands."""
        return acts_as(self.state, self.left) is State.PAID

    @property
    def is_covering(self) -> bool:
        """True when the state covers a use: paid, or accepted with use that begins on delivery (once made) or on a date."""
        if not self.is_placed:
            return False
        if self.is_paid:
            return True
        if acts_as(self.state, self.left) is not State.ACCEPTED:
            return False
        return self.begins is Begins.ON_DATE or (self.begins is Begins.ON_DELIVERY and self.delivered_on is not None)

    @property
    def covered_from(self) -> date:
        """The first day of use: later than `use_from` where an unpaid licence waits for delivery or a date."""
        if self.is_paid or not self.is_covering:
            return self.use_from
        begun = self.begins_on if self.begins is Begins.ON_DATE else self.delivered_on
        return max(self.use_from, begun) if begun else self.use_from

    @property
    def covered_until(self) -> date | None:
        """The first day that is not covered: earlier than `until` where an unpaid licence lapses."""
        if self.is_paid or not self.is_covering:
            return self.until
        return earliest(self.until, self.lapses_on)

    @property
    def copies_left(self) -> int | None:
        """Copies that may still be made; None is unlimited."""
        return None if self.copies is None else self.copies - self.copies_used

    def is_running(self, on: date) -> bool:
        """True when the licence covers some use on that day."""
        first = max(self.covered_from, self.embargo_until or self.covered_from)
        return self.is_covering and first <= on and is_before(on, self.covered_until)


def grant_wished(
    key: str,
    *,
    licensee: str,
    pictures: Iterable[str],
    use: Mapping[str, Any],
    first_day: date,
    last_day: date | None = None,
    exclusive_until: date | None = None,
    trade: str = "",
) -> Grant:
    """The licence that a use wished for would be, offered: from ``first_day`` for its months, or up to and including ``last_day``.

    ``use`` has the fields of a row, ``pictures`` are keys as text. ``exclusive_until``: the first day it is not exclusive any more, where
    no months say it. Raises InvalidUse.
    """
    by_months = end_of_term(first_day, use["use_months"], path="use_months")
    if last_day == date.max:
        raise InvalidUse("last_day", "The calendar ends on that day. Choose an earlier one, or a licence without end.")
    alone_by_months = end_of_term(first_day, use["exclusive_months"], path="exclusive_months")
    return Grant(
        id=key,
        licensee=licensee,
        pictures=frozenset(pictures),
        classes=frozenset(use["use_classes"]),
        media=frozenset(use["use_media"]),
        territories=frozenset(use["use_territories"]),
        use_from=first_day,
        use_until=last_day + timedelta(days=1) if last_day else by_months,
        state=State.OFFERED,
        trade=trade or None,
        exclusivity=Exclusivity(use["exclusivity"]),
        exclusive_until=(exclusive_until or alone_by_months) if use["exclusivity"] != Exclusivity.NONE else None,
    )
