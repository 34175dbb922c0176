"""The time a shutter is open, as photographers say it: one part of a second, or seconds."""

from __future__ import annotations

import re

SHORTEST, LONGEST = 1 / 32_000, 60.0  # seconds; beyond them no camera of the trade is set (common practice, no source)
_SAID = re.compile(r"(?:1\s*/\s*(?P<part>\d{1,3}(?:[,.\u202f ]?\d{3})*)|(?P<whole>\d{1,2}(?:[.,]\d{1,2})?))\s*(?:s|sec|seconds?|″|\")?", re.IGNORECASE)  # fmt: skip


class InvalidShutter(ValueError):
    """Words that name no exposure; the sentence says what does."""


def read_shutter(text: str) -> str:
    """``1/250`` or ``0.5`` from ``1/250 s``, ``1/8,000``, ``0,5``; empty from nothing. Raises InvalidShutter."""
    text = text.strip()
    if not text:
        return ""
    found = _SAID.fullmatch(text)
    if not found:
        raise InvalidShutter("Enter a time such as 1/250, or 2 for two seconds.")
    if found["part"]:
        part = int(re.sub(r"\D", "", found["part"]))
        said = f"1/{part}" if part else "0"
    else:
        said = f"{float(found['whole'].replace(',', '.')):g}"
    if not SHORTEST <= seconds_of(said) <= LONGEST:
        raise InvalidShutter("Enter a time from 1/32000 to 60 seconds.")
    return said


def seconds_of(shutter: str) -> float:
    """Seconds of an exposure as ``read_shutter`` gives it."""
    whole, _, part = shutter.partition("/")
    return float(whole) / float(part) if part else float(whole)
