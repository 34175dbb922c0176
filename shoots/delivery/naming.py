"""What the files of a delivery are called."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Entry:
    """One file: its name in the archive, and its bytes in pieces once asked for."""

    name: str
    pieces: Callable[[], Iterable[bytes]]


def file_names(numbers: Iterable[tuple[int, str, str]]) -> dict[int, str]:
    """A name for each (key, picture number, original name): the number with the ending of the original, *WL-1126-018.jpg*."""
    names = {}
    for key, number, original in numbers:
        _stem, dot, ending = original.rpartition(".")
        names[key] = f"{number}.{ending.lower()}" if dot and ending.isalnum() else number
    return names
