"""Is a use seen in the wild covered on its days? Asked of the licences as they stood on the day seen, and as they stand now.

The answer is that of ``shoots.licences.cover``; what is not known is never guessed: without it there is no answer.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from shoots.licences.cover import Cover, cover
from shoots.licences.grants import Grant
from shoots.licences.states import State
from shoots.uses.intended import Use


@dataclass(frozen=True, slots=True)
class Held:
    """A licence that may cover what was seen: its value, number and holder, the days it was agreed and paid on."""

    grant: Grant
    number: str
    holder: str
    agreed_on: date | None
    paid_on: date | None


@dataclass(frozen=True, slots=True)
class Seen:
    """What was seen, in codes; empty or None is not known. ``user`` is the key of a client, ``pictures`` are keys.

    Days are both inclusive: from ``since`` (where it is known) to ``seen_on``.
    """

    pictures: tuple[str, ...]
    seen_on: date
    since: date | None
    classes: frozenset[str]
    media: frozenset[str]
    territories: frozenset[str]
    copies: int | None
    user: str | None

    @property
    def missing(self) -> tuple[str, ...]:
        """What has to be known before there is an answer: ``pictures``, ``classes``, ``media``, ``territories``."""
        return tuple(name for name in ("pictures", "classes", "media", "territories") if not getattr(self, name))

    @property
    def use(self) -> Use:
        """What was seen as a use, from its first known day to the day seen. Raises InvalidUse while something is missing."""
        return Use(
            classes=self.classes,
            media=self.media,
            territories=self.territories,
            use_from=self.since or self.seen_on,
            use_until=self.seen_on + timedelta(days=1),
            copies=self.copies,
        )


@dataclass(frozen=True, slots=True)
class OnPicture:
    """The answer for one picture: by the user's own licences (None: the user is no known client), and which other clients'
    licences would cover the use if the user were that client or used it for them.
    """

    picture: str
    own: Cover | None
    would: tuple[tuple[str, Cover], ...]

    @property
    def is_covered(self) -> bool:
        """True when the user's own licences cover what was seen."""
        return self.own is not None and self.own.is_covered


@dataclass(frozen=True, slots=True)
class Verdict:
    """The answer for all pictures. ``is_covered`` is None while something has to be known first."""

    missing: tuple[str, ...]
    pictures: tuple[OnPicture, ...]

    @property
    def is_covered(self) -> bool | None:
        """Whether every picture is covered by the user's own licences."""
        return None if self.missing else all(each.is_covered for each in self.pictures)

    @property
    def would_be(self) -> frozenset[str]:
        """Clients with whose licences every picture that is not covered would be."""
        open_ones = [frozenset(who for who, _ in each.would) for each in self.pictures if not each.is_covered]
        return frozenset.intersection(*open_ones) if open_ones else frozenset()


def judge(seen: Seen, held: Iterable[Held]) -> Verdict:
    """The answer by these licences."""
    if seen.missing:
        return Verdict(seen.missing, ())
    grants = [each.grant for each in held]
    return Verdict((), tuple(_on_picture(picture, seen, grants) for picture in seen.pictures))


def known_on(held: Iterable[Held], day: date) -> tuple[Held, ...]:
    """The licences as they stood at the end of a day: what was agreed later is not there, what was paid later is unpaid.

    An offer that nobody had agreed to by then is not there either.
    """
    found = []
    for each in held:
        if each.agreed_on is None or each.agreed_on > day:
            continue
        grant = each.grant
        if grant.is_paid and each.paid_on is not None and each.paid_on > day:
            grant = replace(grant, state=State.ACCEPTED)
        found.append(replace(each, grant=grant))
    return tuple(found)


def copies_are_open(seen: Seen, held: Iterable[Held]) -> bool:
    """True when a licence on the pictures limits the copies and nobody knows how many were made."""
    return seen.copies is None and any(
        each.grant.copies is not None and each.grant.pictures & set(seen.pictures) for each in held
    )


def _on_picture(picture: str, seen: Seen, grants: Sequence[Grant]) -> OnPicture:
    holders = sorted({grant.licensee for grant in grants if picture in grant.pictures} - {seen.user})
    answers = [(who, cover(seen.use, picture=picture, licensee=who, grants=grants)) for who in holders]
    own = cover(seen.use, picture=picture, licensee=seen.user, grants=grants) if seen.user is not None else None
    return OnPicture(picture, own, tuple((who, answer) for who, answer in answers if answer.is_covered))


def is_overdue(answer_by: date | None, on: date) -> bool:
    """True from the day after the last day to answer."""
    return answer_by is not None and on > answer_by
