"""Chance that is the same every time: numbers that look drawn by lot and follow from a seed alone, on every machine.

A linear congruential generator of 64 bits; multiplier and increment are Knuth's for MMIX (The Art of Computer Programming, volume 2,
third edition, section 3.3.4; from memory). The upper 32 bits are used. It only steers a search: nothing secret hangs on it.
"""

from __future__ import annotations

_MASK = (1 << 64) - 1
_TIMES, _PLUS = 6364136223846793005, 1442695040888963407


class Chance:
    """A run of numbers that begins anew for each seed."""

    __slots__ = ("_state",)

    def __init__(self, seed: int) -> None:
        self._state = (seed * 0x9E3779B97F4A7C15 + 1) & _MASK
        for _ in range(4):
            self.below(2)

    def below(self, limit: int) -> int:
        """A whole number from 0 to before ``limit``, which is at least 1 and at most 2**32."""
        self._state = (self._state * _TIMES + _PLUS) & _MASK
        return ((self._state >> 32) * limit) >> 32

    def share(self) -> float:
        """A number from 0 to before 1."""
        self._state = (self._state * _TIMES + _PLUS) & _MASK
        return (self._state >> 32) / 4294967296.0
