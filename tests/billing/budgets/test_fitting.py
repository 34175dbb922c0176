"""Against trying everything: a total that never falls with more pictures or more use stands in for the estimate's own pricing."""

from decimal import Decimal
from itertools import chain, combinations, product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from billing.budgets.fitting import SHUT_OUT, TERMS, Ask, largest_uses, most_pictures

MEDIA = {"web.own": 5, "web.social": 3, "print.menu": 4, "press": 2}
PLACES = {"DE": 10, "AT": 6, "CH": 6}
LONG = {None: 200}


def total_of(ask: Ask) -> Decimal:
    """Media × places × years and shutting out × pictures, plus 700 for the day."""
    use = sum(MEDIA[code] for code in ask.media) * sum(PLACES[code] for code in ask.territories)
    months = LONG.get(ask.months, ask.months)
    return Decimal(700 + use * months * (1 + SHUT_OUT.index(ask.exclusivity)) * ask.pictures) / 4


def some(codes) -> list[frozenset[str]]:
    sizes = (combinations(sorted(codes), size) for size in range(1, len(codes) + 1))
    return [frozenset(each) for each in chain.from_iterable(sizes)]


def length(months) -> int:
    return 10**6 if months is None else months


asks = st.builds(
    Ask,
    st.integers(1, 40),
    st.sampled_from(some(MEDIA)),
    st.sampled_from(some(PLACES)),
    st.sampled_from((*TERMS, 2, 18, 90)),
    st.sampled_from(SHUT_OUT),
)
budgets = st.integers(100, 200_000).map(Decimal)


@given(asks, budgets)
def test_the_most_pictures_are_those_that_counting_up_finds(ask, budget):
    counted = 0
    for number in range(1, 61):
        if total_of(Ask(number, ask.media, ask.territories, ask.months, ask.exclusivity)) > budget:
            break
        counted = number
    assert most_pictures(ask, total_of, budget, at_most=60) == counted


@given(asks, budgets)
def test_the_largest_uses_are_those_of_trying_every_one(ask, budget):
    terms = [each for each in TERMS if length(each) < length(ask.months)] + [ask.months]
    fitting = []
    for media, places, months, shut in product(some(ask.media), some(ask.territories), terms, SHUT_OUT):
        tried = Ask(ask.pictures, media, places, months, shut)
        if SHUT_OUT.index(shut) <= SHUT_OUT.index(ask.exclusivity) and total_of(tried) <= budget:
            fitting.append(tried)

    def inside(one, other):
        return (
            one != other and one.media <= other.media and one.territories <= other.territories
            and length(one.months) <= length(other.months) and SHUT_OUT.index(one.exclusivity) <= SHUT_OUT.index(other.exclusivity)
        )  # fmt: skip

    widest = {each for each in fitting if not any(inside(each, other) for other in fitting)}
    found = largest_uses(ask, total_of, budget)
    assert set(found) == widest
    assert len(found) == len(widest)


def test_each_way_to_be_smaller_occurs():
    ask = Ask(10, frozenset(MEDIA), frozenset(PLACES), 24, "trade")
    found = largest_uses(ask, total_of, Decimal(2000))
    assert any(each.media < ask.media for each in found)
    assert any(each.territories < ask.territories for each in found)
    assert any(each.months < 24 for each in found)
    assert any(each.exclusivity == "none" for each in found)
    assert all(total_of(each) <= 2000 for each in found)


def test_what_fits_as_it_is_stands_alone_and_nothing_is_nothing():
    ask = Ask(1, frozenset({"press"}), frozenset({"DE"}), None)
    assert largest_uses(ask, total_of, total_of(ask)) == (ask,)
    assert largest_uses(ask, total_of, Decimal(10)) == ()
    assert most_pictures(ask, total_of, Decimal(10)) == 0
    assert largest_uses(ask, lambda _ask: None, Decimal(10**9)) == ()  # a use without a price never fits


def test_many_codes_are_narrowed_by_one_or_to_one():
    media = frozenset(f"m{number}" for number in range(9))
    ask = Ask(1, media, frozenset({"DE"}), 1)
    found = largest_uses(ask, lambda tried: Decimal(len(tried.media)), Decimal(8))
    assert {len(each.media) for each in found} == {8}
    assert len(found) == 9
    assert {len(each.media) for each in largest_uses(ask, lambda tried: Decimal(len(tried.media)), Decimal(5))} == {1}


def test_an_ask_without_anything_is_refused():
    with pytest.raises(ValueError, match="one picture, one medium and one place"):
        Ask(0, frozenset({"press"}), frozenset({"DE"}), 1)


def test_places_inside_those_asked_for_are_offered_where_the_whole_is_too_dear():
    """The world costs 9 a month, one country in it 1: within 12, the world for a month or the country for a year, not both for a month."""
    world, home = frozenset({"001"}), frozenset({"DE"})

    def total(ask):
        return Decimal((9 if ask.territories == world else 1) * LONG.get(ask.months, ask.months))

    def inside(some, others):
        return others in {some, world}

    found = largest_uses(Ask(1, frozenset({"press"}), world, 12), total, Decimal(12), narrower=[home], inside=inside)
    assert {(each.territories, each.months) for each in found} == {(world, 1), (home, 12)}
