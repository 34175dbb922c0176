"""How far a licence reaches: whether what is wanted instead lies wholly inside what is held, and what it adds where it does not."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from shoots.uses.shipped import IN_FORCE
from shoots.uses.trees import Trees


@dataclass(frozen=True, slots=True, kw_only=True)
class Reach:
    """On which pictures (by key), for which classes, media and territories, up to which day, itself included; None is without end.

    Media and territories are codes of the trees in force, compared leaf by leaf. Asked with other codes it raises UnknownCode.
    """

    pictures: frozenset[int]
    classes: frozenset[str]
    media: frozenset[str]
    territories: frozenset[str]
    last_day: date | None

    def falls_short_of(self, wanted: Reach, trees: Trees = IN_FORCE) -> tuple[str, ...]:
        """In what something wanted reaches further, as nouns with their article, days last; nothing where it lies wholly inside."""
        is_short = {
            "a picture": not wanted.pictures <= self.pictures,
            "a class of use": not wanted.classes <= self.classes,
            "a medium": trees.media.mask(wanted.media) & ~trees.media.mask(self.media) != 0,
            "a territory": trees.territories.mask(wanted.territories) & ~trees.territories.mask(self.territories) != 0,
            "days": self.last_day is not None and (wanted.last_day is None or wanted.last_day > self.last_day),
        }
        return tuple(noun for noun, is_wider in is_short.items() if is_wider)

    def is_as(self, other: Reach, trees: Trees = IN_FORCE) -> bool:
        """True where both reach the same: no picture, class, leaf or day more or less."""
        return (
            self.last_day == other.last_day
            and not self.falls_short_of(other, trees)
            and not other.falls_short_of(self, trees)
        )
