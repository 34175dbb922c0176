from dataclasses import replace
from datetime import date
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shoots.licences.conflicts import Clash, find_clashes, find_conflicts, free_day_of
from shoots.licences.states import State
from shoots.uses.intended import Exclusivity
from tests.shoots.licences import brute_force
from tests.shoots.licences.odd_licences import TREES, WORLD, drawn, odd_grant
from tests.shoots.licences.test_grants import PAID

MILL = replace(
    PAID,
    id="L-1",
    licensee="Kvernmoor Mill",
    trade="bakery",
    media=frozenset({"print.packaging", "web.display"}),
    use_from=date(2026, 3, 1),
    use_until=date(2027, 3, 1),
    exclusivity=Exclusivity.PICTURE,
)
PANTRY = replace(
    MILL,
    id="L-2",
    licensee="Oystercatcher Pantry",
    trade="delicatessen",
    media=frozenset({"web"}),
    use_from=date(2027, 1, 1),
    use_until=date(2027, 7, 1),
    exclusivity=Exclusivity.NONE,
    state=State.OFFERED,
)
ACCEPTED = replace(PANTRY, state=State.ACCEPTED)


def test_an_exclusive_licence_stands_against_another_licensee_with_the_shared_cells_and_the_free_day():
    assert find_clashes(PANTRY, [MILL]) == [
        Clash(
            wanted="L-2",
            held="L-1",
            held_by="Kvernmoor Mill",
            pictures=("p1",),
            classes=("advertising",),
            media=("web.display",),
            territories=("DE",),
            shared_from=date(2027, 1, 1),
            shared_until=date(2027, 3, 1),
            free_from=date(2027, 3, 1),
        )
    ]
    assert free_day_of(PANTRY, [MILL]) == date(2027, 3, 1)


def test_an_offer_is_checked_but_blocks_nobody():
    assert find_conflicts([MILL, PANTRY]) == []
    assert find_conflicts([MILL, ACCEPTED]) == [("L-1", "L-2")]


@pytest.mark.parametrize(
    "different",
    [
        {"licensee": "Kvernmoor Mill"},
        {"pictures": frozenset({"p2"})},
        {"classes": frozenset({"editorial"})},
        {"media": frozenset({"print.menu"})},
        {"territories": frozenset({"AT"})},
        {"use_from": date(2027, 3, 1)},
    ],
    ids=["same licensee", "picture", "class", "medium", "territory", "days"],
)
def test_no_shared_cell_or_the_same_licensee_is_no_conflict(different):
    assert find_conflicts([MILL, replace(ACCEPTED, **different)]) == []


@pytest.mark.parametrize(
    ("one", "other", "clash"),
    [("bakery", "bakery", True), ("bakery", "coffee", False), ("bakery", None, True), (None, "coffee", True)],
)
def test_trade_exclusivity_counts_in_the_same_trade_and_an_unknown_trade_counts_as_the_same(one, other, clash):
    mill = replace(MILL, exclusivity=Exclusivity.TRADE, trade=one)
    assert bool(find_conflicts([mill, replace(ACCEPTED, trade=other)])) is clash


def test_when_exclusivity_ends_first_only_the_exclusive_part_blocks():
    assert find_conflicts([replace(MILL, exclusive_until=date(2027, 1, 1)), ACCEPTED]) == []
    assert find_conflicts([replace(MILL, exclusive_until=date(2027, 1, 2)), ACCEPTED]) == [("L-1", "L-2")]


def test_a_new_exclusive_licence_clashes_with_a_plain_one_that_stands():
    exclusive = replace(ACCEPTED, exclusivity=Exclusivity.PICTURE)
    plain = replace(MILL, exclusivity=Exclusivity.NONE)
    assert find_conflicts([plain, exclusive]) == [("L-1", "L-2")]
    assert [clash.free_from for clash in find_clashes(exclusive, [plain])] == [date(2027, 3, 1)]


def test_a_perpetual_exclusive_licence_never_comes_free():
    for_ever = replace(MILL, use_until=None)
    assert [(clash.shared_until, clash.free_from) for clash in find_clashes(PANTRY, [for_ever])] == [
        (date(2027, 7, 1), None)
    ]
    assert free_day_of(PANTRY, [for_ever]) is None


@pytest.mark.parametrize("state", [State.REVOKED, State.SUPERSEDED])
def test_a_revoked_or_superseded_licence_blocks_until_it_is_cut(state):
    assert find_conflicts([replace(MILL, state=state, cut_on=date(2027, 1, 1)), ACCEPTED]) == []
    assert find_conflicts([replace(MILL, state=state, cut_on=date(2027, 1, 2)), ACCEPTED]) == [("L-1", "L-2")]


@pytest.mark.parametrize("state", [State.DRAFT, State.OFFERED, State.DECLINED, State.REFUNDED])
def test_a_licence_that_does_not_stand_blocks_nobody(state):
    assert find_conflicts([replace(MILL, state=state), ACCEPTED]) == []
    assert find_clashes(PANTRY, [replace(MILL, state=state)]) == []


def test_an_unplaced_exclusive_licence_holds_its_pictures_on_all_days_and_a_plain_one_holds_nothing():
    unplaced = replace(MILL, is_placed=False, state=State.ACCEPTED, use_from=date(2026, 1, 1), use_until=None)
    later = replace(ACCEPTED, use_from=date(2040, 1, 1), use_until=None)
    assert find_conflicts([unplaced, later]) == [("L-1", "L-2")]
    assert find_clashes(replace(later, state=State.DRAFT), [unplaced])
    plain = replace(unplaced, exclusivity=Exclusivity.NONE)
    assert find_conflicts([plain, replace(later, exclusivity=Exclusivity.PICTURE)]) == []


def test_a_licence_up_to_the_last_day_of_the_calendar_can_be_checked():
    endless = replace(PANTRY, use_until=date(9999, 12, 31))
    assert free_day_of(endless, [MILL]) == date(2027, 3, 1)


grants = drawn(odd_grant)
FIRMS = ("Walnut Lantern", "Kvernmoor Mill", "Oystercatcher Pantry")


@given(st.tuples(*(grants(place, FIRMS, ("p1", "p2")) for place in range(4))))
@settings(max_examples=60, deadline=None)
def test_conflicts_are_those_found_by_listing_cells(made):
    slow = [
        (one.id, other.id)
        for place, one in enumerate(made)
        for other in made[place + 1 :]
        if brute_force.conflict(WORLD, one, other)
    ]
    assert find_conflicts(made, TREES) == sorted(slow)
    assert find_conflicts(reversed(made), TREES) == sorted(slow)


@given(grants(0, FIRMS), grants(1, FIRMS))
@settings(max_examples=100, deadline=None)
def test_the_shared_cells_of_a_clash_are_shared_and_its_free_day_is_free(one, other):
    for clash in find_clashes(one, [other], TREES):
        assert brute_force.conflict(WORLD, replace(one, state=State.PAID, trees=TREES), other)
        assert clash.shared_until is None or clash.shared_from < clash.shared_until
        if clash.free_from is not None:
            assert clash.free_from > one.use_from


def test_the_made_up_licences_conflict_often_and_often_not():
    rng = Random(3)
    count = 0
    for _ in range(600):
        one, other = (odd_grant(rng.choice, place, FIRMS) for place in range(2))
        found = find_conflicts([one, other], TREES)
        assert bool(found) == brute_force.conflict(WORLD, one, other)
        count += bool(found)
    assert 30 < count < 570


@pytest.mark.parametrize("typed", ["Bakery", "BAKERY", " bakery "])
def test_a_trade_typed_in_another_way_is_the_same_trade(typed):
    """Two rival bakeries, each promised to be the only one: however their line of business was typed."""
    mine = replace(MILL, exclusivity=Exclusivity.TRADE)
    rival = replace(MILL, id="L-2", licensee="Brackwater Oven", trade=typed, exclusivity=Exclusivity.TRADE)
    assert find_conflicts([mine, rival]) == [("L-1", "L-2")]
    assert find_conflicts([mine, replace(rival, trade="coffee")]) == []
