"""Random fair cards of usage fees on the shipped trees, and files of them. Fair by construction; ``check_card`` has the last word."""

from fractions import Fraction

from hypothesis import assume
from hypothesis import strategies as st

from billing.rates.card import Card, Priced, PriceTree, check_card
from billing.rates.starting_card import STARTING_CARD

hundredths = st.integers(5, 400).map(lambda each: Fraction(each, 100))


@st.composite
def fair_cards(draw: st.DrawFn) -> Card:
    """A fair card: other figures, points, bands and factors than the shipped one has, on the same codes."""
    step = draw(st.sampled_from([Fraction(1), Fraction(5), Fraction(10), Fraction(1, 2)]))
    card = Card(
        base=Fraction(draw(st.integers(20, 90_000)), 100),
        minimum=step * draw(st.integers(1, 40)),
        step=step,
        handling=Fraction(draw(st.integers(0, 20_000)), 100),
        term=(term := draw(terms())),
        term_perpetual=term[-1][1] + draw(hundredths),
        exclusivity={
            "none": Fraction(1),
            "trade": (trade := 1 + draw(hundredths)),
            "picture": trade + draw(hundredths),
        },
        picture_bands=draw(bands(falling=True)),
        copy_bands=draw(bands(falling=False)),
        classes=draw(price_trees(STARTING_CARD.classes)),
        media=draw(price_trees(STARTING_CARD.media)),
        territories=draw(price_trees(STARTING_CARD.territories)),
    )
    assume(check_card(card).is_fair)
    return card


@st.composite
def terms(draw: st.DrawFn) -> tuple[tuple[int, Fraction], ...]:
    """Points whose factor rises ever less a month, in cents of a factor."""
    slopes = sorted(draw(st.lists(st.integers(0, 12), min_size=1, max_size=6)), reverse=True)
    points = [(0, draw(hundredths))]
    for slope in slopes:
        months = draw(st.integers(1, 24))
        points.append((points[-1][0] + months, points[-1][1] + Fraction(slope * months, 100)))
    return tuple(points)


@st.composite
def bands(draw: st.DrawFn, *, falling: bool) -> tuple[tuple[int | None, Fraction], ...]:
    """Bands of pictures (a further one weighs no more) or copies (more weigh no less, and never twice as much)."""
    limits = sorted(draw(st.sets(st.integers(1, 2_000), max_size=5)))
    first = draw(st.integers(50, 300))
    if falling:
        factors = sorted((draw(st.integers(5, first)) for _ in limits), reverse=True)
        found = [first, *factors]
    else:
        found = [first, *sorted(draw(st.integers(first, 2 * first)) for _ in limits)]
    return tuple(
        (limit, Fraction(factor, 100)) for limit, factor in zip([*limits, None], found, strict=True)
    )  # the last has no limit


@st.composite
def price_trees(draw: st.DrawFn, shipped: PriceTree) -> PriceTree:
    """The shipped codes with other factors. Many codes share a few, as on a card a person keeps."""
    few = draw(st.lists(hundredths, min_size=1, max_size=5))
    picks = draw(st.randoms(use_true_random=False))
    return PriceTree(
        shipped.name,
        [
            Priced(node.code, node.parent, picks.choice(few), exhaustive=node.exhaustive, counted=node.counted)
            for node in shipped.nodes.values()
        ],
    )
