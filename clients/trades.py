"""Lines of business, as people type them. Text in, text out."""

from __future__ import annotations

import unicodedata
from collections.abc import Mapping

from shared.errors import Refusal

LONGEST_TRADE = 60
LONGEST_KEY = 120


class TradeRefused(Refusal):
    """A name that cannot stand on the list of trades, or one that belongs to another trade. ``part``: the field it is about."""

    def __init__(self, what_happened: str, what_to_do: str, *, part: str = "name") -> None:
        self.part = part
        super().__init__(what_happened, "The list of trades is as it was.", what_to_do)


def trade_key(typed: str) -> str:
    """The same for every way of writing one trade: *Bakery*, *bakery* and *BAKERY* with a stray space are one line of business.

    Compare trades by it and never letter by letter: of two firms in one trade, each sold its exclusivity, one was sold nothing.
    """
    return unicodedata.normalize("NFC", " ".join(unicodedata.normalize("NFKC", typed).casefold().split()))


def is_same_trade(one: str | None, other: str | None) -> bool:
    """True where both are one trade, or either is not known: the safe side."""
    keys = [trade_key(each) for each in (one, other) if each]
    return len(keys) < 2 or not all(keys) or keys[0] == keys[1]


def read_trade(typed: str, *, part: str = "name") -> str:
    """The name as it stands on the list: single spaces, a letter in it, no comma or semicolon, which part one trade from the next.

    Raises TradeRefused.
    """
    name = " ".join(unicodedata.normalize("NFC", typed).split())
    if not any(sign.isalpha() for sign in name):
        raise TradeRefused("A trade has letters in its name.", "Type it as you say it, for example bakery.", part=part)
    if len(name) > LONGEST_TRADE or len(trade_key(name)) > LONGEST_KEY:
        raise TradeRefused(
            f"“{name[:20]}…” is too long for a trade: {len(name)} signs.", f"Use at most {LONGEST_TRADE}.", part=part
        )
    if any(sign in ",;" or not sign.isprintable() for sign in name):
        raise TradeRefused(f"“{name}” is more than one trade.", "Add one trade after the other.", part=part)
    return name


def read_names(names: Mapping[str, str]) -> dict[str, str]:
    """Names by language as they are kept, without the empty ones. Raises TradeRefused, whose ``part`` is the language."""
    return {language: read_trade(name, part=language) for language, name in names.items() if name.strip()}


def name_in(names: Mapping[str, str], language: str, name: str) -> str:
    """What a trade is called on a paper in that language: as the studio named it there, else its own name on the list."""
    return names.get(language.lower().replace("_", "-").split("-")[0]) or name
