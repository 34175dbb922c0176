"""Can this be sold? Yes, not yet or no for one picture, from everything that stands in the way."""

from __future__ import annotations

from dataclasses import InitVar, dataclass
from datetime import date
from enum import StrEnum

from shoots.licences.availability import SellingOn
from shoots.licences.conflicts import Claim, Clash, claims_clash, find_clashes, first_free_day
from shoots.licences.cover import Cover, cover
from shoots.licences.grants import Grant
from shoots.licences.states import State
from shoots.releases.clearance import Clearance, Subject, Verdict, clear
from shoots.uses.days import Length, earliest
from shoots.uses.intended import Exclusivity, InvalidUse, Use, check_box, check_months, class_bits, end_of_term
from shoots.uses.shipped import IN_FORCE
from shoots.uses.trees import Trees

NOT_AGREED = SellingOn()
SOMEBODY = ""
"""The licensee of a buyer not known yet: nobody's licence counts as theirs."""


class Answer(StrEnum):
    """*Not yet*: a day, a release or a look at the picture makes it a yes as asked. *No*: as asked it never is, or somebody withdrew."""

    YES = "yes"
    NOT_YET = "not_yet"
    NO = "no"


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """A use asked for by one buyer. `length` counts from `first`; `end` is a first day after it that stands whatever `first` is.

    Hand in a last day as a length in days; `end` is for a term cut short. `exclusive_months = None` is the whole term. Raises InvalidUse.
    """

    licensee: str
    trade: str | None
    classes: frozenset[str]
    media: frozenset[str]
    territories: frozenset[str]
    first: date
    length: Length
    end: date | None = None
    exclusivity: Exclusivity = Exclusivity.NONE
    exclusive_months: int | None = None
    copies: int | None = None
    trees: InitVar[Trees] = IN_FORCE

    def __post_init__(self, trees: Trees) -> None:
        check_box(self.classes, self.media, self.territories, trees)
        for months, path in ((self.length.months, "months"), (self.exclusive_months, "exclusive_months")):
            check_months(months, path=path)
            end_of_term(self.first, months, path=path)
        if self.until is not None and self.until <= self.first:
            raise InvalidUse("last_day", "The last day lies before the first. Enter a day on or after it.")

    @property
    def until(self) -> date | None:
        """The first day after the use; None has no end."""
        return earliest(self.length.until(self.first), self.end)

    def starting(self, first: date, trees: Trees = IN_FORCE) -> Claim:
        """What it would claim if it began on another day."""
        until = earliest(self.length.until(first), self.end)
        sole = earliest(until, Length(months=self.exclusive_months).until(first))
        return Claim(
            id="wanted",
            licensee=self.licensee,
            trade=self.trade,
            classes=class_bits(self.classes),
            media=trees.media.mask(self.media),
            territories=trees.territories.mask(self.territories),
            first=first,
            until=until,
            exclusivity=self.exclusivity,
            exclusive_until=sole,
        )

    def use(self, trees: Trees = IN_FORCE) -> Use:
        """The same as a use, for cover and clearance."""
        return Use(
            classes=self.classes,
            media=self.media,
            territories=self.territories,
            use_from=self.first,
            use_until=self.until,
            copies=self.copies,
            trees=trees,
        )


@dataclass(frozen=True, slots=True)
class Stand:
    """How one picture stands, apart from its number: what rivals claim on it, its shoot's term, whom and what it shows.

    Pictures that stand alike are equal, so that each question is answered once for all of them. None is not assessed.
    """

    claims: tuple[Claim, ...] = ()
    selling_on: SellingOn = NOT_AGREED
    shoot: str = ""
    people: tuple[Subject, ...] | None = ()
    properties: tuple[Subject, ...] | None = ()


@dataclass(frozen=True, slots=True)
class Found:
    """The answer and why. `free_from`: the first day free of every rival and of the shoot's term; None is never as asked.

    `agreed_from`: the first day on which the commissioning client allows it; None where they never said so.
    """

    answer: Answer
    rivals: tuple[str, ...]
    is_agreed: bool
    agreed_from: date | None
    free_from: date | None
    clearance: Clearance


def rivals_of(asked: Asked, stand: Stand, trees: Trees = IN_FORCE) -> tuple[Claim, ...]:
    """The claims that stand against the use as asked."""
    wanted = asked.starting(asked.first, trees)
    return tuple(claim for claim in stand.claims if claims_clash(wanted, claim))


def clearance_of(asked: Asked, stand: Stand, trees: Trees = IN_FORCE) -> Clearance:
    """Whom and what the picture shows, against the use."""
    return clear(
        asked.use(trees), licensee=asked.licensee, people=stand.people, properties=stand.properties, trees=trees
    )


def is_agreed(asked: Asked, stand: Stand) -> bool:
    """True when the term of the shoot allows the sale on its first day."""
    agreed = stand.selling_on.free_from(asked.licensee, asked.trade)
    return agreed is not None and agreed <= asked.first


def is_yes(asked: Asked, stand: Stand, trees: Trees = IN_FORCE) -> bool:
    """True when nothing stands in the way."""
    return (
        is_agreed(asked, stand)
        and not rivals_of(asked, stand, trees)
        and clearance_of(asked, stand, trees).verdict is not Verdict.NOT_CLEARED
    )


def ask(asked: Asked, stand: Stand, trees: Trees = IN_FORCE) -> Found:
    """The answer for one picture, with everything that stands in the way."""
    rivals = rivals_of(asked, stand, trees)
    agreed = stand.selling_on.free_from(asked.licensee, asked.trade)
    clearance = clearance_of(asked, stand, trees)
    free = None
    if agreed is not None:
        free = first_free_day(lambda day: asked.starting(day, trees), list(stand.claims), max(agreed, asked.first))
    stands = not rivals and is_agreed(asked, stand)
    is_cleared = clearance.verdict is not Verdict.NOT_CLEARED
    is_withdrawn = not is_cleared and any(note.startswith("WITHDRAWN:") for note in clearance.notes)
    if stands and is_cleared:
        answer = Answer.YES
    elif free is None or is_withdrawn:
        answer = Answer.NO
    else:
        answer = Answer.NOT_YET
    return Found(
        answer=answer,
        rivals=tuple(sorted(claim.id for claim in rivals)),
        is_agreed=is_agreed(asked, stand),
        agreed_from=agreed,
        free_from=free,
        clearance=clearance,
    )


def clashes_with(asked: Asked, picture: str, held: list[Grant], trees: Trees = IN_FORCE) -> list[Clash]:
    """What each rival licence on a picture shares with the use, for sentences; the same pairs as ``rivals_of``."""
    claim = asked.starting(asked.first, trees)
    wanted = Grant(
        id="wanted",
        licensee=asked.licensee,
        trade=asked.trade,
        pictures=frozenset({picture}),
        classes=asked.classes,
        media=asked.media,
        territories=asked.territories,
        use_from=asked.first,
        use_until=asked.until,
        exclusivity=asked.exclusivity,
        exclusive_until=claim.exclusive_until if asked.exclusivity is not Exclusivity.NONE else None,
        state=State.OFFERED,
        trees=trees,
    )
    return find_clashes(wanted, held, trees)


def held_already(asked: Asked, picture: str, held: list[Grant], trees: Trees = IN_FORCE) -> Cover:
    """What the buyer's own licences on the picture cover of the use."""
    return cover(asked.use(trees), picture=picture, licensee=asked.licensee, grants=held, trees=trees)
