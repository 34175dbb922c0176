"""What a phone sends from the set: one mark a press, read with care; and the phone's clock put right."""

from __future__ import annotations

import uuid
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta

KINDS = ("done", "again", "skip", "undo", "ok", "ok_back", "note", "unplanned", "plated", "cleared", "tick")
MOST_AT_ONCE = 200
LONGEST_WORDS = 200
LONGEST_CLOCK = 600  # minutes
CLOCK_IS_OFF = 60  # seconds; less is no fault worth a word, and times stay as the phone said
MOST_OFF = 10**9  # seconds, some thirty years: what a column of whole numbers holds
NONE_KNOWN = "The server could not read this mark."


class Unreadable(ValueError):
    """A mark that is none; the sentence says why. The phone keeps it and shows the sentence."""


@dataclass(frozen=True, slots=True)
class Sent:
    """A mark as a phone wrote it down.

    ``key`` is made on the phone, so a mark sent twice is one. ``shot`` is the key of a shot on the list; ``unplanned`` names the mark
    that made the shot, where the phone knew no other key yet. ``about`` names the mark that is undone, or the clock that is ended.
    ``pressed_at`` is what the phone's clock said; ``off`` by how many seconds the phone knew it to be ahead of the server, or None.
    """

    key: uuid.UUID
    kind: str
    pressed_at: datetime
    shot: int | None = None
    unplanned: uuid.UUID | None = None
    words: str = ""
    item: str = ""
    minutes: int | None = None
    about: uuid.UUID | None = None
    off: int | None = field(default=None)


def read_mark(raw: object) -> Sent:
    """One mark of a phone's answer. Raises Unreadable; words too long are cut, never a reason to refuse a press."""
    if not isinstance(raw, Mapping):
        raise Unreadable(NONE_KNOWN)
    key, kind = _key(raw.get("key")), raw.get("kind")
    if key is None or kind not in KINDS:
        raise Unreadable(NONE_KNOWN)
    pressed_at = _moment(raw.get("at"))
    if pressed_at is None:
        raise Unreadable("This mark has no time.")
    shot = raw.get("shot")
    return Sent(
        key=key,
        kind=str(kind),
        pressed_at=pressed_at,
        shot=_whole(shot, 1, 2**62),
        unplanned=_key(shot),
        words=_text(raw.get("words"), LONGEST_WORDS),
        item=_text(raw.get("item"), 20),
        minutes=_whole(raw.get("minutes"), 1, LONGEST_CLOCK),
        about=_key(raw.get("about")),
        off=_whole(raw.get("off"), -MOST_OFF, MOST_OFF),
    )


def clock_off(phone: datetime | None, server: datetime) -> int:
    """By how many whole seconds a phone's clock is ahead of the server's (behind: below 0); nought when nobody can say."""
    return 0 if phone is None else max(-MOST_OFF, min(round((phone - server).total_seconds()), MOST_OFF))


def put_right(pressed_at: datetime, off: int, *, received: datetime) -> datetime:
    """When a button was pressed by the server's clock: never later than the mark came in.

    A clock less than a minute off is left alone: the way to the server takes a while too.
    """
    # An absurd clock may leave the calendar altogether; then the mark counts from when it came in.
    try:
        at = pressed_at - timedelta(seconds=off if abs(off) >= CLOCK_IS_OFF else 0)
    except OverflowError:
        return received
    return min(at, received)


def phone_time(raw: object) -> datetime | None:
    """The moment a phone wrote, with its offset from UTC; None for anything else."""
    return _moment(raw)


def _moment(raw: object) -> datetime | None:
    try:
        found = datetime.fromisoformat(str(raw))
        return found.astimezone(UTC) if found.tzinfo is not None and 1970 < found.year < 9990 else None
    except (ValueError, OverflowError):
        return None


def _key(raw: object) -> uuid.UUID | None:
    try:
        return uuid.UUID(raw) if isinstance(raw, str) else None
    except ValueError:
        return None


def _whole(raw: object, least: int, most: int) -> int | None:
    return raw if isinstance(raw, int) and not isinstance(raw, bool) and least <= raw <= most else None


def _text(raw: object, most: int) -> str:
    # A database takes neither a null nor half a surrogate pair.
    text = raw.encode("utf-8", "replace").decode() if isinstance(raw, str) else ""
    return " ".join(text.replace("\0", " ").split())[:most].strip()
