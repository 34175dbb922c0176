"""A day's run as an iCalendar stream (RFC 5545, September 2009): typed by hand, for it is a few lines.

Clauses: 3.1 lines of 75 octets folded, ended by CR LF; 3.3.11 text escaped; 3.3.5 form 2, times in UTC, so no VTIMEZONE is needed;
3.6 PRODID and VERSION once, and one component at least; 3.6.1 UID and DTSTAMP in each VEVENT; 3.8.1.11 STATUS; 3.8.7.2 DTSTAMP is the
last revision where there is no METHOD; 3.8.7.4 SEQUENCE grows with each. NAME and REFRESH-INTERVAL are of RFC 7986 (October 2016),
clauses 5.1 and 5.7. All clauses from memory.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime

LINE_OCTETS = 75
REFRESH = "PT30M"  # how often a phone is asked to look again
PRODUCT = "-//Plate Ledger//Run of the day//EN"


@dataclass(frozen=True, slots=True)
class Event:
    """Something with a beginning and an end (aware). ``uid`` stays the same as long as it is the same thing."""

    uid: str
    begins_at: datetime
    ends_at: datetime
    summary: str
    description: str = ""
    location: str = ""
    status: str = "CONFIRMED"  # or TENTATIVE, CANCELLED


def calendar_of(
    events: Iterable[Event], *, name: str, made_at: datetime, revision: int, todo_uid: str = "no-day@plate-ledger"
) -> str:
    """The stream of a calendar with these events. Without any it says in one thing to do that there is no day yet, for it may not be empty."""
    lines = [
        "BEGIN:VCALENDAR",
        "VERSION:2.0",
        f"PRODID:{PRODUCT}",
        "CALSCALE:GREGORIAN",
        f"NAME:{escaped(name)}",
        f"REFRESH-INTERVAL;VALUE=DURATION:{REFRESH}",
    ]
    no_day = True
    for event in events:
        no_day = False
        lines += [
            "BEGIN:VEVENT",
            f"UID:{escaped(event.uid)}",
            f"DTSTAMP:{_utc(made_at)}",
            f"SEQUENCE:{revision}",
            f"DTSTART:{_utc(event.begins_at)}",
            f"DTEND:{_utc(event.ends_at)}",
            f"SUMMARY:{escaped(event.summary)}",
            f"STATUS:{event.status}",
        ]
        lines += [f"DESCRIPTION:{escaped(event.description)}"] if event.description else []
        lines += [f"LOCATION:{escaped(event.location)}"] if event.location else []
        lines.append("END:VEVENT")
    if no_day:
        lines += ["BEGIN:VTODO", f"UID:{escaped(todo_uid)}", f"DTSTAMP:{_utc(made_at)}", f"SEQUENCE:{revision}"]
        lines += [f"SUMMARY:{escaped(name)}: no day yet", "END:VTODO"]
    lines.append("END:VCALENDAR")
    return "".join(f"{folded(line)}\r\n" for line in lines)


def escaped(text: str) -> str:
    """Text as a property takes it (3.3.11): backslash, semicolon, comma and line ends escaped; other control characters left out."""
    text = text.replace("\\", "\\\\").replace(";", "\\;").replace(",", "\\,")
    text = text.replace("\r\n", "\n").replace("\r", "\n").replace("\n", "\\n")
    return "".join(sign for sign in text if sign == "\t" or (sign >= " " and sign != "\x7f"))


def folded(line: str) -> str:
    """A content line in pieces of 75 octets at most, each but the first begun with a space (3.1); no letter is cut in two."""
    pieces, piece, length = [], "", 0
    for sign in line:
        octets = len(sign.encode())
        if length + octets > LINE_OCTETS:
            pieces.append(piece)
            piece, length = " ", 1
        piece += sign
        length += octets
    return "\r\n".join([*pieces, piece])


def _utc(at: datetime) -> str:
    return f"{at.astimezone(UTC):%Y%m%dT%H%M%SZ}"
