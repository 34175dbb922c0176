"""What fits in a client's budget: the most pictures, and the largest uses, whose total is not above a sum.

Nothing is guessed: every answer is a total reckoned by the estimate's own pricing, handed in as ``total_of``. The search relies on one
property of that pricing, which the tests of the rates hold: more pictures or more use never cost less.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from itertools import combinations, product

TERMS: tuple[int | None, ...] = (
    1,
    3,
    6,
    12,
    24,
    36,
    60,
    120,
    None,
)  # months offered in place of a longer term; None is without end
SHUT_OUT = ("none", "trade", "picture")  # from least to most
MOST_SUBSETS = 31  # of media or of places, tried in every combination; with more codes only one left out or one alone
MOST_PICTURES = 500

Inside = Callable[[frozenset[str], frozenset[str]], bool]


@dataclass(frozen=True, slots=True)
class Ask:
    """What a client may ask for: pictures, and a use of media × territories × months (None: without end) × whom it shuts out."""

    pictures: int
    media: frozenset[str]
    territories: frozenset[str]
    months: int | None
    exclusivity: str = "none"

    def __post_init__(self) -> None:
        if self.pictures < 1 or not self.media or not self.territories:
            raise ValueError("An ask has one picture, one medium and one place at least.")

    def is_within(self, other: "Ask", inside: Inside = frozenset.issubset) -> bool:
        """Whether the other grants all of this. ``inside`` says whether some places lie in others."""
        return (
            self.pictures <= other.pictures
            and self.media <= other.media
            and inside(self.territories, other.territories)
            and _length(self.months) <= _length(other.months)
            and SHUT_OUT.index(self.exclusivity) <= SHUT_OUT.index(other.exclusivity)
        )


Total = Callable[[Ask], Decimal | None]  # None: such a use has no price


def most_pictures(ask: Ask, total_of: Total, budget: Decimal, *, at_most: int = MOST_PICTURES) -> int:
    """The largest number of pictures with this use whose total is not above ``budget``; 0 when one is too many. About nine totals are reckoned."""
    fits, too_many = 0, at_most + 1
    while too_many - fits > 1:
        tried = (fits + too_many) // 2
        if _fits(replace(ask, pictures=tried), total_of, budget):
            fits = tried
        else:
            too_many = tried
    return fits


def largest_uses(
    ask: Ask,
    total_of: Total,
    budget: Decimal,
    *,
    narrower: Sequence[frozenset[str]] = (),
    inside: Inside = frozenset.issubset,
) -> tuple[Ask, ...]:
    """Every use inside the one asked for, with all its pictures, that fits the budget and lies inside no other that fits: the widest first.

    Terms come from ``TERMS``. ``narrower``: places inside those asked for that are worth offering too (the client's own country inside the
    world), and ``inside`` says which places lie in which. Empty when nothing fits; the ask itself alone when it fits.
    """
    found: list[Ask] = []
    for media, territories, exclusivity in _narrowings(ask, narrower):
        months = _longest(replace(ask, media=media, territories=territories, exclusivity=exclusivity), total_of, budget)
        found += months
    return tuple(
        sorted(
            (each for each in found if not any(each != other and each.is_within(other, inside) for other in found)),
            key=lambda each: (
                -len(each.media),
                -len(each.territories),
                -_length(each.months),
                -SHUT_OUT.index(each.exclusivity),
                sorted(each.media),
                sorted(each.territories),
            ),
        )
    )


def _longest(ask: Ask, total_of: Total, budget: Decimal) -> list[Ask]:
    """The ask with its longest term that fits, if one does."""
    terms = [months for months in TERMS if _length(months) < _length(ask.months)] + [ask.months]
    fits, too_long = -1, len(terms)
    while too_long - fits > 1:
        tried = (fits + too_long) // 2
        if _fits(replace(ask, months=terms[tried]), total_of, budget):
            fits = tried
        else:
            too_long = tried
    return [replace(ask, months=terms[fits])] if fits >= 0 else []


def _narrowings(ask: Ask, narrower: Sequence[frozenset[str]]) -> Iterator[tuple[frozenset[str], frozenset[str], str]]:
    shut_out = SHUT_OUT[: SHUT_OUT.index(ask.exclusivity) + 1]
    places = list(dict.fromkeys((*_subsets(sorted(ask.territories)), *narrower)))
    return product(_subsets(sorted(ask.media)), places, shut_out)


def _subsets(codes: Sequence[str]) -> list[frozenset[str]]:
    whole = frozenset(codes)
    if 2 ** len(codes) - 1 <= MOST_SUBSETS:
        return [frozenset(some) for size in range(1, len(codes) + 1) for some in combinations(codes, size)]
    one_less = [whole - {code} for code in codes] if len(codes) <= MOST_SUBSETS else []
    alone = [frozenset({code}) for code in codes] if len(codes) <= MOST_SUBSETS else []
    return [whole, *one_less, *alone]


def _fits(ask: Ask, total_of: Total, budget: Decimal) -> bool:
    total = total_of(ask)
    return total is not None and total <= budget


def _length(months: int | None) -> float:
    return float("inf") if months is None else months
