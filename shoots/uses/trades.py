"""Lines of business, as people type them. Text in, text out."""

from __future__ import annotations

import unicodedata


def trade_key(typed: str) -> str:
    """The same for every way of writing one trade: *Bakery*, *bakery* and *BAKERY* with a stray space are one line of business.

    Compare trades by it and never letter by letter: of two firms in one trade, each sold its exclusivity, one was sold nothing.
    """
    return unicodedata.normalize("NFC", " ".join(unicodedata.normalize("NFKC", typed).casefold().split()))


def is_same_trade(one: str | None, other: str | None) -> bool:
    """True where both are one trade, or either is not known: the safe side."""
    keys = [trade_key(each) for each in (one, other) if each]
    return len(keys) < 2 or not all(keys) or keys[0] == keys[1]
