"""How the numbers of papers are written: E-2026-047, 2026-035."""

import re
from typing import NewType

PaperNumber = NewType("PaperNumber", str)


class InvalidNumber(ValueError):
    """A prefix or counter that cannot make a number."""


def format_number(prefix: str, year: int, counter: int, width: int = 3) -> PaperNumber:
    """Prefix, year, hyphen, counter filled with zeros to ``width``; a counter that outgrows the width is written in full.

    The prefix is at most 10 capital letters, digits, hyphens or slashes and may be empty. Counters begin at 1.
    """
    if not re.fullmatch(r"[A-Z0-9/-]{0,10}", prefix):
        raise InvalidNumber(
            f"“{prefix}” cannot start a number. Use up to 10 capital letters, digits, hyphens or slashes."
        )
    if counter < 1 or not 1000 <= year <= 9999:
        raise InvalidNumber("A number needs a year of four digits and a counter of 1 or more.")
    return PaperNumber(f"{prefix}{year}-{counter:0{width}d}")
