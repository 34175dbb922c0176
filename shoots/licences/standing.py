"""How a licence stands on a day, read from its state and its days; *ended* and *running* are no states of their own."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

from shared.words import formats
from shared.words.chart import Bar
from shared.words.formats import with_capital
from shoots.licences.grants import Grant
from shoots.licences.states import State
from shoots.uses.days import earliest, is_before, last_day
from shoots.uses.intended import Begins

LONGEST_NAME_IN_A_BAR = 24
ENDS_SOON_DAYS = 60
"""How long before its end a licence is shown as ending: common practice, no source."""


class Standing(StrEnum):
    """What a licence is on a day."""

    DRAFT = "draft"
    OFFERED = "offered"
    OFF = "off"
    UNPLACED = "unplaced"
    WAITING = "waiting"
    COMING = "coming"
    RUNNING = "running"
    LAPSED = "lapsed"
    ENDED = "ended"


@dataclass(frozen=True, slots=True)
class Shown:
    """A standing as a page shows it: the look of a state (``done``, ``look``, ``wait``, ``open``, ``plain``), and words."""

    standing: Standing
    look: str
    words: str
    note: str = ""


UNTIL_THE_NEXT = "Until the new licence begins"
_OFF = {State.DECLINED: "Declined", State.REFUNDED: "Refunded"}


def standing_of(grant: Grant, on: date) -> Standing:
    """Where the licence stands on that day."""
    if grant.state is State.DRAFT:
        return Standing.DRAFT
    if grant.state is State.OFFERED:
        return Standing.OFFERED
    if grant.state in _OFF:
        return Standing.OFF
    if not is_before(on, grant.until if grant.is_placed else grant.cut_on):
        return Standing.ENDED
    if not grant.is_placed:
        return Standing.UNPLACED
    if not grant.is_covering:
        return Standing.WAITING
    if not is_before(on, grant.covered_until):
        return Standing.LAPSED
    return Standing.RUNNING if grant.is_running(on) else Standing.COMING


def ends_soon(grant: Grant, on: date, *, days: int = ENDS_SOON_DAYS) -> bool:
    """True when a licence that runs, or will, has its last day within so many days."""
    if grant.until is None or grant.until > on + timedelta(days=days + 1):
        return False
    return standing_of(grant, on) in (Standing.RUNNING, Standing.COMING, Standing.WAITING, Standing.LAPSED)


def shown_on(grant: Grant, on: date, language: str = "en") -> Shown:
    """The standing in words, with the day that matters."""
    standing = standing_of(grant, on)
    look, words = _words(grant, standing, language)
    return Shown(standing, look, words, _note(grant, standing, language))


def _words(grant: Grant, standing: Standing, language: str) -> tuple[str, str]:
    def day(value: date) -> str:
        return formats.day(value, language)

    match standing:
        case Standing.DRAFT:
            return "open", "Draft"
        case Standing.OFFERED:
            return "wait", "Offered"
        case Standing.OFF:
            return "plain", _OFF[grant.state]
        case Standing.UNPLACED:
            return "open", "Agreed, not placed yet"
        case Standing.WAITING:
            return "open", "Starts on delivery" if grant.begins is Begins.ON_DELIVERY else "Starts on payment"
        case Standing.COMING:
            first = max(grant.covered_from, grant.embargo_until or grant.covered_from)
            return "open", f"Begins on {day(first)}"
        case Standing.LAPSED:
            return "look", f"Lapsed unpaid on {day(_known(grant.lapses_on))}"
        case Standing.ENDED:
            until = _known(grant.until if grant.is_placed else grant.cut_on)
            word = {State.REVOKED: "Revoked", State.SUPERSEDED: "Superseded"}.get(grant.state, "Ended")
            return "look" if grant.state is State.REVOKED else "plain", f"{word}, last day {day(last_day(until))}"
        case _:
            if grant.until is None:
                return "done", UNTIL_THE_NEXT if grant.state is State.SUPERSEDED else "Without end"
            return "done", f"Until {day(last_day(grant.until))}"


def _note(grant: Grant, standing: Standing, language: str) -> str:
    if standing in (Standing.RUNNING, Standing.COMING) and not grant.is_paid:
        if grant.lapses_on is None:
            return "Not paid yet"
        return f"Not paid yet: last day {formats.day(last_day(grant.lapses_on), language)} if it stays so"
    if standing is Standing.LAPSED:
        return "Not paid. It still keeps others out, and goes on once it is paid."
    if standing is Standing.UNPLACED and grant.is_exclusive:
        return "Exclusive: it keeps others out from its acceptance on"
    return ""


def _known(day: date | None) -> date:
    if day is None:
        raise ValueError("a licence that ended has its day")
    return day


def bars_of(grant: Grant, on: date, *, who: str, url: str = "", is_named: bool = False) -> tuple[Bar, ...]:
    """The licence as bars of the term chart. Granted exclusively is dark; agreed and not begun is dashed; declined shows nothing.

    ``is_named``: the lane bears the holder's name, so only the fact stands in the bar. A long name is cut, never the fact behind it.
    """
    short = "" if is_named else _cut(who)

    def bar(kind: str, first: date, last: date | None, fact: str, joint: str = ", ") -> Bar:
        alone = fact.removeprefix(", ")
        drawn = f"{short}{joint if fact else ''}{fact}" if short else with_capital(alone) or "Without end"
        words = f"{who}{joint if fact else ''}{fact}"
        return Bar(kind, first, last, words, url, "" if drawn == words else drawn)

    standing = standing_of(grant, on)
    if standing in (Standing.DRAFT, Standing.OFF):
        return ()
    if standing is Standing.UNPLACED:
        return (bar("due", max(on, grant.use_from), None, "not placed yet"),)
    last = last_day(grant.until) if grant.until else None
    if last is not None and last < grant.use_from:
        return ()
    until = f"until {formats.day(last, 'en')}" if last else ""
    match standing:
        case Standing.OFFERED:
            return (bar("due", grant.use_from, last, "on offer"),)
        case Standing.WAITING:
            how = "on delivery" if grant.begins is Begins.ON_DELIVERY else "on payment"
            return (bar("due", grant.use_from, last, f"starts {how}"),)
        case Standing.ENDED:
            return (bar("past", grant.use_from, last, "ended"),)
        case Standing.LAPSED:
            return (bar("past", grant.use_from, last, "lapsed unpaid"),)
    shown = ""
    if grant.embargo_until is not None and grant.embargo_until > max(on, grant.use_from):
        shown = f", shown from {formats.day(grant.embargo_until, 'en')}"
    if not grant.is_exclusive:
        return (bar("granted", grant.use_from, last, until + shown, " " if until else ""),)
    shut = earliest(grant.exclusive_until, grant.until)
    shut_last = last_day(shut) if shut else None
    sole = bar("sole", grant.use_from, shut_last, f"exclusive{shown}")
    if shut is None or shut == grant.until:
        return (sole,)
    return (sole, bar("granted", shut, last, until, " "))


def _cut(name: str) -> str:
    """A name as a bar has room for: whole words of its beginning."""
    if len(name) <= LONGEST_NAME_IN_A_BAR:
        return name
    return f"{name[: LONGEST_NAME_IN_A_BAR + 1].rsplit(' ', 1)[0][:LONGEST_NAME_IN_A_BAR].rstrip(' ,;&')}…"
