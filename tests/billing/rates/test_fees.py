from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal as D
from fractions import Fraction as F
from itertools import combinations, product

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from billing.rates import fees
from billing.rates.card import Card, Priced, PriceTree, check_card
from billing.rates.fees import (
    CannotPrice,
    Exclusive,
    InvalidItem,
    Unpriced,
    UseItem,
    change_fee,
    cheapest_cover,
    partitions,
    picture_factor,
    renewal_fee,
    retroactive_fee,
    term_factor,
    usage_fee,
)
from billing.rates.starting_card import STARTING_CARD as CARD
from shoots.uses.trees import UnknownCode
from tests.billing.rates.brute_force import brute_fee
from tests.factories import rate_cards

FIRST = date(2027, 3, 1)
MEDIA = ["web.own", "web.social", "web", "print.menu", "print.ad", "print", "press", "broadcast", "all"]
PLACES = ["DE", "AT", "CH", "FR", "europe", "US", "BR", "world"]


def item(classes: str, media: str, places: str = "DE", months: int | None = 12, **more: object) -> UseItem:
    return UseItem(
        frozenset(classes.split()), frozenset(media.split()), frozenset(places.split()), FIRST, months, **more
    )  # type: ignore[arg-type]


items = st.builds(
    UseItem,
    st.sets(st.sampled_from(["editorial", "advertising", "stock"]), min_size=1).map(frozenset),
    st.sets(st.sampled_from(MEDIA), min_size=1, max_size=3).map(frozenset),
    st.sets(st.sampled_from(PLACES), min_size=1, max_size=3).map(frozenset),
    st.dates(date(2027, 1, 1), date(2028, 12, 31)),
    st.one_of(st.integers(1, 150), st.none()),
    st.one_of(st.integers(1, 1_500_000), st.just("unlimited")),
    st.sampled_from(Exclusive),
    st.one_of(st.integers(0, 150), st.none()),
)
requests = st.tuples(st.integers(1, 80), st.lists(items, min_size=1, max_size=4))


@st.composite
def price_trees(draw: st.DrawFn) -> PriceTree:
    count = draw(st.integers(1, 8))
    factors = st.integers(1, 12).map(lambda each: F(each, 4))
    return PriceTree(
        "media",
        [
            Priced(
                str(index),
                None if index == 0 else str(draw(st.integers(0, index - 1))),
                draw(factors),
                draw(st.booleans()),
            )
            for index in range(count)
        ],
    )


@given(price_trees(), st.data())
def test_the_cheapest_cover_is_the_cheapest_of_all_sets_of_codes(prices: PriceTree, data: st.DataObject) -> None:
    wanted = data.draw(st.sets(st.sampled_from(sorted(prices.nodes)), min_size=1))
    tree, codes = prices.tree, sorted(prices.nodes)
    mask = tree.mask(frozenset(wanted))
    cheapest = min(
        sum(prices.factor(code) for code in chosen)
        for size in range(len(codes) + 1)
        for chosen in combinations(codes, size)
        if not mask & ~tree.mask(frozenset(chosen))
    )
    found = cheapest_cover(prices, frozenset(wanted))
    assert found.factor == cheapest == sum(prices.factor(code) for code in found.codes)
    assert not mask & ~tree.mask(frozenset(found.codes))


def test_the_wider_code_is_taken_on_a_tie_and_said() -> None:
    assert cheapest_cover(CARD.territories, frozenset({"DE", "FR"})).codes == ("europe",)
    assert cheapest_cover(CARD.territories, frozenset({"DE", "FR"})).is_wider
    assert cheapest_cover(CARD.territories, frozenset({"DE", "AT"})).codes == ("AT", "DE")
    assert not cheapest_cover(CARD.territories, frozenset({"DE", "AT"})).is_wider


def test_all_listed_countries_do_not_make_a_continent_with_a_rest() -> None:
    prices = PriceTree(
        "territories", [Priced("land", None, F(10)), Priced("A", "land", F(1)), Priced("B", "land", F(1))]
    )
    assert cheapest_cover(prices, frozenset({"A", "B"})).factor == 2
    assert cheapest_cover(prices, frozenset({"land"})).factor == 10


def test_an_unknown_code_is_named() -> None:
    with pytest.raises(UnknownCode, match="cups"):
        usage_fee(CARD, 1, [item("stock", "cups")])


def test_a_term_is_weighed_on_straight_lines_between_the_points() -> None:
    assert [term_factor(CARD, months) for months in (0, 9, 18, 90, 180, 240, None)] == [
        F("0.25"),
        F("0.85"),
        F("1.25"),
        3,
        F("4.5"),
        5,
        5,
    ]
    assert term_factor(CARD, F(3, 2)) == F("0.3925")


def test_pictures_are_weighed_in_bands() -> None:
    assert [picture_factor(CARD, count) for count in (1, 5, 6, 12, 60)] == [1, 5, F("5.85"), F("10.65"), F("36.75")]
    with pytest.raises(InvalidItem):
        picture_factor(CARD, 0)


def test_a_printed_use_without_copies_cannot_be_priced() -> None:
    with pytest.raises(CannotPrice) as refused:
        usage_fee(CARD, 1, [item("advertising", "web.own print.menu")])
    assert refused.value.why == Unpriced.QUANTITY_REQUIRED


def test_a_request_has_one_to_six_items() -> None:
    for count in (0, 7):
        with pytest.raises(CannotPrice) as refused:
            usage_fee(CARD, 1, [item("stock", "web.own")] * count)
        assert refused.value.why == Unpriced.ITEMS


@pytest.mark.parametrize(
    "wrong",
    [
        {"media": frozenset()},
        {"months": 0},
        {"exclusive_months": -1},
        {"copies": 0},
        {"copies": "many"},
        {"classes": frozenset()},
    ],
)
def test_an_item_that_cannot_be_is_refused(wrong: dict[str, object]) -> None:
    with pytest.raises(InvalidItem):
        replace(item("stock", "web.own"), **wrong)  # type: ignore[arg-type]


def test_a_few_printed_menus_do_not_make_a_website_cheaper() -> None:
    alone = usage_fee(CARD, 1, [item("advertising", "web", copies=900)])
    with_menu = usage_fee(CARD, 1, [item("advertising", "web print.menu", copies=900)])
    assert with_menu.total >= alone.total


def test_the_ways_to_group_items_are_counted_right() -> None:
    assert [sum(1 for _ in partitions(count)) for count in range(1, 7)] == [1, 2, 5, 15, 52, 203]


@settings(max_examples=60)
@given(requests)
def test_the_lines_taken_are_the_cheapest_of_all_groupings(request: tuple[int, list[UseItem]]) -> None:
    pictures, wanted = request
    found = usage_fee(CARD, pictures, wanted)
    single: dict[tuple[int, ...], F] = {}
    for labels in product(range(len(wanted)), repeat=len(wanted)):
        groups = {label: tuple(index for index, each in enumerate(labels) if each == label) for label in labels}
        total = F(0)
        for group in groups.values():
            if group not in single:
                single[group] = line_of(pictures, [wanted[index] for index in group])
            total += single[group]
        assert found.total <= total
    assert sorted(index for line in found.lines for index in line.items) == list(range(len(wanted)))


def line_of(pictures: int, held: list[UseItem]) -> F:
    return fees._line(CARD, pictures, picture_factor(CARD, pictures), held, tuple(range(len(held)))).total


@settings(max_examples=60)
@given(requests)
def test_every_line_multiplies_out_and_every_fee_is_a_multiple_of_the_step(request: tuple[int, list[UseItem]]) -> None:
    found = usage_fee(CARD, *request)
    for line in found.lines:
        value = F(1)
        for factor in line.working:
            value *= factor.value
        assert value == line.total
    assert F(found.fee) % CARD.step == 0
    assert found.fee >= 90
    assert F(found.fee) - found.total < CARD.step or found.is_minimum


@settings(max_examples=80)
@given(requests, st.data())
def test_asking_for_more_never_costs_less(request: tuple[int, list[UseItem]], data: st.DataObject) -> None:
    pictures, wanted = request
    index = data.draw(st.integers(0, len(wanted) - 1))
    old = wanted[index]
    more = [
        replace(old, classes=old.classes | {data.draw(st.sampled_from(["editorial", "advertising", "stock"]))}),
        replace(old, media=old.media | {data.draw(st.sampled_from(MEDIA))}),
        replace(old, territories=old.territories | {data.draw(st.sampled_from(PLACES))}),
        replace(old, months=None if old.months is None else old.months + data.draw(st.integers(1, 30))),
        replace(
            old,
            copies=old.copies
            if isinstance(old.copies, str) or old.copies is None
            else old.copies + data.draw(st.integers(1, 10**6)),
        ),
        replace(old, exclusive=Exclusive.PICTURE),
        replace(old, exclusive_months=None),
    ]
    before = usage_fee(CARD, pictures, wanted).fee
    for each in more:
        assert usage_fee(CARD, pictures, [*wanted[:index], each, *wanted[index + 1 :]]).fee >= before
    assert usage_fee(CARD, pictures + 1, wanted).fee >= before
    assert usage_fee(CARD, pictures, [*wanted, data.draw(items)]).fee >= before


@settings(max_examples=50)
@given(st.integers(1, 40), st.lists(items, min_size=1, max_size=3), st.lists(items, min_size=1, max_size=3))
def test_two_requests_together_never_cost_more_than_apart(
    pictures: int, one: list[UseItem], other: list[UseItem]
) -> None:
    apart = usage_fee(CARD, pictures, one).fee + usage_fee(CARD, pictures, other).fee
    assert usage_fee(CARD, pictures, one + other).fee <= apart


@settings(max_examples=40)
@given(requests, st.randoms())
def test_the_order_of_items_does_not_matter(request: tuple[int, list[UseItem]], chance: object) -> None:
    pictures, wanted = request
    mixed = wanted.copy()
    chance.shuffle(mixed)  # type: ignore[attr-defined]
    assert usage_fee(CARD, pictures, mixed).total == usage_fee(CARD, pictures, wanted).total


@settings(max_examples=30)
@given(requests, st.randoms())
def test_the_order_of_the_trees_does_not_matter(request: tuple[int, list[UseItem]], chance: object) -> None:
    mixed = [
        node
        for node in CARD.territories.nodes.values()
        if node.code in {*PLACES, "europe", "north_america", "south_america", "world"}
    ]
    short = replace(CARD, territories=PriceTree("territories", mixed))
    chance.shuffle(mixed)  # type: ignore[attr-defined]
    turned = replace(CARD, territories=PriceTree("territories", mixed))
    assert usage_fee(short, *request).total == usage_fee(turned, *request).total


def test_a_change_costs_the_difference_and_handling_and_never_gives_back() -> None:
    assert change_fee(CARD, D(8075), D(6730)) == D("1385.00")
    assert change_fee(CARD, D(90), D(6730)) == D("0.00")


def test_a_line_of_several_items_runs_from_the_first_day_to_the_last() -> None:
    first = replace(item("advertising", "web.own"), use_from=date(2027, 3, 1), months=12)
    second = replace(first, use_from=date(2028, 3, 1))
    (line,) = usage_fee(CARD, 1, [first, second]).lines
    assert line.items == (0, 1)
    assert line.working[4].value == F("1.5")


@st.composite
def fair_cards(draw: st.DrawFn) -> Card:
    """A card other than the shipped one that keeps the rules: small trees, falling slopes, falling picture bands, gently rising copies."""

    def tree(name: str) -> PriceTree:
        count = draw(st.integers(1, 6))
        return PriceTree(
            name,
            [
                Priced(str(index), None if index == 0 else str(draw(st.integers(0, index - 1))), F(draw(st.integers(1, 12)), 4),
                       draw(st.booleans()), name == "media" and draw(st.booleans()))
                for index in range(count)
            ],
        )  # fmt: skip

    start, slopes = F(draw(st.integers(1, 8)), 8), sorted(draw(st.tuples(*[st.integers(0, 6)] * 3)), reverse=True)
    points = [(0, start)]
    for months, slope in zip((3, 12, 60), slopes, strict=True):
        points.append((months, points[-1][1] + F(slope, 24) * (months - points[-1][0])))
    step = draw(st.sampled_from([1, 5, 10]))
    bands = sorted(draw(st.tuples(*[st.integers(1, 8)] * 2)), reverse=True)
    card = Card(
        F(draw(st.integers(1, 400))), F(step * draw(st.integers(1, 20))), F(step), F(draw(st.integers(0, 50))), tuple(points),
        points[-1][1] + draw(st.integers(0, 3)), {"none": F(1), "trade": F(3, 2), "picture": F(draw(st.integers(6, 12)), 4)},
        ((5, F(bands[0], 8)), (None, F(bands[1], 8))), ((1000, F(1)), (None, F(draw(st.integers(4, 8)), 4))),
        tree("classes"), tree("media"), tree("territories"),
    )  # fmt: skip
    assert check_card(card).is_fair
    return card


@settings(max_examples=60, deadline=None)
@given(fair_cards(), st.data())
def test_any_fair_card_gives_the_fee_of_the_brute_force(card: Card, data: st.DataObject) -> None:
    def some(tree: PriceTree) -> st.SearchStrategy[frozenset[str]]:
        return st.sets(st.sampled_from(sorted(tree.nodes)), min_size=1, max_size=3).map(frozenset)

    one = st.builds(
        UseItem, some(card.classes), some(card.media), some(card.territories), st.sampled_from([FIRST, date(2028, 11, 1)]),
        st.one_of(st.none(), st.integers(1, 90)), st.sampled_from([500, 1001, "unlimited"]), st.sampled_from(Exclusive),
        st.one_of(st.none(), st.integers(0, 30)),
    )  # fmt: skip
    pictures, wanted = data.draw(st.integers(1, 12)), data.draw(st.lists(one, min_size=1, max_size=4))
    found = usage_fee(card, pictures, wanted)
    assert (found.total, found.fee) == brute_fee(card, pictures, wanted)
    # Never cheaper for one more, never dearer bundled, whatever the order: on any fair card, not the shipped one alone.
    further = data.draw(one)
    more = usage_fee(card, pictures, [*wanted, further])
    assert more.fee >= found.fee
    assert more.fee <= found.fee + usage_fee(card, pictures, [further]).fee
    assert usage_fee(card, pictures, [further, *reversed(wanted)]).total == more.total


@settings(max_examples=25, deadline=None)
@given(st.lists(items, min_size=5, max_size=6), st.data())
def test_six_items_in_any_order_cost_the_same_and_a_month_more_never_less(
    wanted: list[UseItem], data: st.DataObject
) -> None:
    before = usage_fee(CARD, 3, wanted)
    assert usage_fee(CARD, 3, data.draw(st.permutations(wanted))).total == before.total
    old = wanted[0]
    longer = replace(old, exclusive_months=None if old.exclusive_months is None else old.exclusive_months + 1)
    earlier = replace(old, use_from=old.use_from, months=None)
    for each in (longer, earlier):
        assert usage_fee(CARD, 3, [each, *wanted[1:]]).fee >= before.fee


def test_a_renewal_is_a_licence_from_the_day_the_old_one_ends() -> None:
    one = item("advertising", "web.own")
    assert renewal_fee(CARD, 5, [one], 24) == usage_fee(CARD, 5, [replace(one, use_from=date(2028, 3, 1), months=24)])
    for never in (replace(one, months=None), replace(one, use_from=date(9999, 6, 1))):
        with pytest.raises(InvalidItem):
            renewal_fee(CARD, 5, [never], 12)


def test_a_use_found_costs_its_fee_the_factor_and_handling() -> None:
    assert retroactive_fee(CARD, D(1445)) == D("1485.00")
    assert retroactive_fee(CARD, D(1445), F(3, 2)) == D("2210.00")  # 2,167.50 up to 2,170, and 40
    with pytest.raises(ValueError, match="1 or more"):
        retroactive_fee(CARD, D(1445), F(1, 2))


@settings(max_examples=30, deadline=None, suppress_health_check=list(HealthCheck))
@given(rate_cards.fair_cards(), st.integers(1, 80), st.lists(items, min_size=1, max_size=6), st.integers(1, 40))
def test_a_day_or_an_exclusive_month_more_never_costs_less_on_any_fair_card(
    card: Card, pictures: int, wanted: list[UseItem], days: int
) -> None:
    before = usage_fee(card, pictures, wanted)
    # Who begins last ends later by those days, and every line with that use runs so much longer or as long as before.
    last = max(range(len(wanted)), key=lambda place: wanted[place].use_from)
    later = replace(wanted[last], use_from=wanted[last].use_from + timedelta(days=days))
    for place, old in enumerate(wanted):
        month = None if old.exclusive_months is None else old.exclusive_months + 1
        shut_out = replace(old, exclusive_months=month)
        kind = replace(old, exclusive=Exclusive.TRADE if old.exclusive == Exclusive.NONE else Exclusive.PICTURE)
        for each in (shut_out, kind):
            assert usage_fee(card, pictures, [*wanted[:place], each, *wanted[place + 1 :]]).total >= before.total
    moved = usage_fee(card, pictures, [*wanted[:last], later, *wanted[last + 1 :]])
    assert moved.total >= before.total
    assert moved.fee >= before.fee


@settings(max_examples=30, deadline=None, suppress_health_check=list(HealthCheck))
@given(rate_cards.fair_cards(), st.integers(1, 80), st.lists(items, min_size=2, max_size=6), st.data())
def test_up_to_six_uses_are_never_dearer_together_than_apart_on_any_fair_card(
    card: Card, pictures: int, wanted: list[UseItem], data: st.DataObject
) -> None:
    cut = data.draw(st.integers(1, len(wanted) - 1))
    whole = usage_fee(card, pictures, wanted)
    one, other = usage_fee(card, pictures, wanted[:cut]), usage_fee(card, pictures, wanted[cut:])
    assert whole.total <= one.total + other.total
    assert whole.fee <= one.fee + other.fee
    assert whole.fee >= max(one.fee, other.fee)
    # Pictures together are never dearer than in two licences of the same use.
    part = data.draw(st.integers(1, pictures))
    apart = usage_fee(card, part, wanted).fee + (usage_fee(card, pictures - part, wanted).fee if pictures > part else 0)
    assert whole.fee <= apart


@settings(max_examples=20, deadline=None, suppress_health_check=list(HealthCheck))
@given(rate_cards.fair_cards(), requests, st.randoms())
def test_no_order_of_codes_trees_or_items_matters_on_any_fair_card(
    card: Card, request: tuple[int, list[UseItem]], chance: object
) -> None:
    pictures, wanted = request

    def turned(tree: PriceTree) -> PriceTree:
        nodes = list(tree.nodes.values())
        chance.shuffle(nodes)  # type: ignore[attr-defined]
        return PriceTree(tree.name, nodes)

    other = replace(
        card, classes=turned(card.classes), media=turned(card.media), territories=turned(card.territories)
    )  # codes by another order in each tree
    mixed = [
        replace(
            each, media=frozenset(sorted(each.media, reverse=True)), territories=frozenset(sorted(each.territories))
        )
        for each in wanted
    ]
    chance.shuffle(mixed)  # type: ignore[attr-defined]
    found, again = usage_fee(card, pictures, wanted), usage_fee(other, pictures, mixed)
    assert (again.total, again.fee) == (found.total, found.fee)
