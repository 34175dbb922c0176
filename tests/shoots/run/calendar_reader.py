"""A strict reader of what the run writes as a calendar, from RFC 5545 (September 2009), its clauses from memory. It shares no line with the writer."""

import re
from dataclasses import dataclass
from datetime import UTC, datetime

ONCE = ("DTSTAMP", "UID", "DTSTART", "DTEND", "SEQUENCE", "SUMMARY", "STATUS", "DESCRIPTION", "LOCATION")
TEXTS = ("UID", "SUMMARY", "DESCRIPTION", "LOCATION", "NAME")


class InvalidCalendar(Exception):
    """The clause that is broken, and how."""

    def __init__(self, clause: str, how: str) -> None:
        super().__init__(f"{clause}: {how}")


@dataclass(frozen=True)
class ReadCalendar:
    name: str
    events: tuple[dict[str, object], ...]
    todos: tuple[dict[str, object], ...]


def read_calendar(stream: bytes) -> ReadCalendar:
    lines = _content_lines(stream)
    if lines[:1] != [("BEGIN", "VCALENDAR")] or lines[-1] != ("END", "VCALENDAR"):
        raise InvalidCalendar("3.4", "no VCALENDAR round it")
    own: dict[str, str] = {}
    parts: list[tuple[str, dict[str, object]]] = []
    inside: tuple[str, dict[str, object]] | None = None
    for name, value in lines[1:-1]:
        if name == "BEGIN":
            if inside or value not in ("VEVENT", "VTODO"):
                raise InvalidCalendar("3.6", f"{value} where none may stand")
            inside = (value, {})
        elif name == "END":
            if not inside or inside[0] != value:
                raise InvalidCalendar("3.6", f"{value} ends and did not begin")
            parts.append(inside)
            inside = None
        elif inside:
            if name in ONCE and name in inside[1]:
                raise InvalidCalendar("3.6.1", f"{name} twice")
            inside[1][name] = _value(name, value)
        else:
            own[name] = value
    if inside:
        raise InvalidCalendar("3.6", f"{inside[0]} does not end")
    if own.get("VERSION") != "2.0":
        raise InvalidCalendar("3.7.4", "no VERSION:2.0")
    if not own.get("PRODID"):
        raise InvalidCalendar("3.7.3", "no PRODID")
    if not parts:
        raise InvalidCalendar("3.6", "no component")
    for _, part in parts:
        _check(part)
    uids = [part["UID"] for _, part in parts]
    if len(set(uids)) != len(uids):
        raise InvalidCalendar("3.8.4.7", "two with one UID")
    events = tuple(part for kind, part in parts if kind == "VEVENT")
    for event in events:
        _check_event(event)
    return ReadCalendar(_text(own.get("NAME", "")), events, tuple(part for kind, part in parts if kind == "VTODO"))


def _content_lines(stream: bytes) -> list[tuple[str, str]]:
    if not stream.endswith(b"\r\n") or re.search(rb"(?<!\r)\n|\r(?!\n)", stream):
        raise InvalidCalendar("3.1", "lines end by CR LF")
    raw = stream[:-2].split(b"\r\n")
    if any(len(line) > 75 for line in raw):
        raise InvalidCalendar("3.1", "a line of more than 75 octets")
    found = []
    for line in stream[:-2].replace(b"\r\n ", b"").decode().split("\r\n"):
        match = re.fullmatch(r"([A-Z-]+)(?:;[A-Z]+=[A-Z]+)*:(.*)", line)
        if not match:
            raise InvalidCalendar("3.1", f"no name and value: {line!r}")
        if re.search(r"[\x00-\x08\x0a-\x1f\x7f]", match[2]):
            raise InvalidCalendar("3.1", "a control character")
        found.append((match[1], match[2]))
    return found


def _value(name: str, value: str) -> object:
    if name in ("DTSTAMP", "DTSTART", "DTEND"):
        if not re.fullmatch(r"\d{8}T\d{6}Z", value):
            raise InvalidCalendar("3.3.5", f"{value} is no time in UTC")
        try:
            return datetime.strptime(value, "%Y%m%dT%H%M%SZ").replace(tzinfo=UTC)
        except ValueError:
            raise InvalidCalendar("3.3.5", f"{value} is no time") from None
    if name == "SEQUENCE":
        if not re.fullmatch(r"\d{1,10}", value) or int(value) > 2**31 - 1:
            raise InvalidCalendar("3.8.7.4", f"{value} is no revision")
        return int(value)
    if name == "STATUS" and value not in ("TENTATIVE", "CONFIRMED", "CANCELLED"):
        raise InvalidCalendar("3.8.1.11", f"{value} is no status of an event")
    return _text(value) if name in TEXTS else value


def _text(value: str) -> str:
    if not re.fullmatch(r"(?:[^\\,;]|\\[\\,;nN])*", value):
        raise InvalidCalendar("3.3.11", f"not escaped: {value!r}")
    return re.sub(r"\\(.)", lambda each: "\n" if each[1] in "nN" else each[1], value)


def _check(part: dict[str, object]) -> None:
    for name in ("UID", "DTSTAMP"):
        if name not in part:
            raise InvalidCalendar("3.6.1", f"no {name}")


def _check_event(event: dict[str, object]) -> None:
    if "DTSTART" not in event:
        raise InvalidCalendar("3.6.1", "no DTSTART, which it must have without METHOD")
    if "DTEND" in event and event["DTEND"] <= event["DTSTART"]:
        raise InvalidCalendar("3.8.2.2", "it ends before it begins")
