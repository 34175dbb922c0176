"""A shoot in sentences for the screen."""

from collections.abc import Sequence
from datetime import date, time

from shared.words import formats


def when_in_words(
    first_on: date | None, last_on: date | None, from_time: time | None, until_time: time | None, language: str = "en"
) -> str:
    """*Saturday 14 November 2026, 09:00 to 15:00*; *No day yet* without a first day."""
    if first_on is None:
        return "No day yet"
    days = formats.long_day(first_on, language)
    if last_on is not None and last_on != first_on:
        days = f"{days} to {formats.long_day(last_on, language)}"
    if from_time is None:
        return days
    return f"{days}, {from_time:%H:%M} to {until_time:%H:%M}" if until_time else f"{days}, from {from_time:%H:%M}"


def clash_in_words(others: Sequence[tuple[str, str, date]], language: str = "en") -> str:
    """One sentence on the other shoots of these days, each given as title, state and first day; empty when there are none."""
    if not others:
        return ""
    named = [f"{title} ({state.lower()}, {formats.day(first_on, language)})" for title, state, first_on in others]
    return f"On the same day: {formats.list_in_words(named, language)}. Both stay as they are; move one if you cannot do both."


def selling_on_in_words(
    selling_on: str, after: date | None, not_to: Sequence[str], licensee: str, language: str = "en"
) -> str:
    """Whether the pictures may be sold to others, as the client said."""
    if selling_on == "free":
        return f"Free: {licensee} has nothing against it."
    if selling_on == "after" and after is not None:
        return f"After {formats.day(after, language)}."
    if selling_on == "not_to" and not_to:
        return f"Free, but not to {formats.list_in_words(not_to, language)}."
    return f"Not agreed. Ask {licensee} before you sell to others."


def place_in_words(name: str, address: str) -> str:
    """The kitchen's name and address; a name that is its street is not said twice."""
    if not address:
        return name
    return address if address.startswith(name) else f"{name}, {address}"
