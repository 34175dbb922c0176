from collections import Counter
from dataclasses import replace
from datetime import date, timedelta
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shoots.licences.availability import COMMISSION, FREE, Availability, Selling, SellingOn, Wish, free_from, offers
from shoots.licences.states import State
from shoots.uses.intended import Exclusivity, InvalidUse
from tests.shoots.licences import brute_force
from tests.shoots.licences.odd_licences import TREES, WORLD, drawn, odd_grant, odd_wish
from tests.shoots.licences.test_conflicts import MILL

WISH = Wish(
    licensee="Oystercatcher Pantry",
    trade="delicatessen",
    classes=frozenset({"advertising"}),
    media=frozenset({"web.display"}),
    territories=frozenset({"DE"}),
    use_from=date(2027, 1, 1),
    months=6,
)


def asked(*grants, wish=WISH, selling_on=FREE):
    return free_from(wish, picture="p1", grants=grants, selling_on=selling_on)


def test_a_wish_waits_for_the_end_of_an_exclusive_licence():
    assert asked(MILL) == Availability(date(2027, 3, 1), ("L-1",))
    assert not asked(MILL).is_free_on(WISH.use_from)


def test_a_wish_waits_only_for_the_end_of_the_exclusivity():
    assert asked(replace(MILL, exclusive_until=date(2027, 2, 1))).free_from == date(2027, 2, 1)


def test_an_exclusive_wish_waits_for_the_end_of_every_licence_it_would_shut_out():
    plain = replace(MILL, exclusivity=Exclusivity.NONE)
    assert asked(plain).free_from == date(2027, 1, 1)
    assert asked(plain, wish=replace(WISH, exclusivity=Exclusivity.PICTURE)).free_from == date(2027, 3, 1)


def test_a_wish_exclusive_for_a_month_may_start_before_a_plain_licence_begins():
    later = replace(MILL, exclusivity=Exclusivity.NONE, use_from=date(2027, 2, 1), use_until=date(2027, 9, 1))
    one_month = replace(WISH, exclusivity=Exclusivity.PICTURE, exclusive_months=1)
    assert asked(later, wish=one_month).free_from == date(2027, 1, 1)
    assert asked(later, wish=replace(one_month, exclusive_months=2)).free_from == date(2027, 9, 1)


def test_a_gap_too_short_for_the_term_is_jumped_over():
    first = replace(MILL, use_until=date(2027, 2, 1))
    second = replace(MILL, id="L-2", use_from=date(2027, 5, 1), use_until=date(2027, 6, 1))
    assert asked(first, second) == Availability(date(2027, 6, 1), ("L-1", "L-2"))
    assert asked(first, second, wish=replace(WISH, months=3)).free_from == date(2027, 2, 1)


def test_a_perpetual_exclusive_licence_leaves_nothing_ever():
    assert asked(replace(MILL, use_until=None)) == Availability(None, ("L-1",))


def test_the_licensee_s_own_licence_and_an_offer_block_nothing():
    assert asked(replace(MILL, licensee="Oystercatcher Pantry")) == Availability(date(2027, 1, 1), ())
    assert asked(replace(MILL, state=State.OFFERED)) == Availability(date(2027, 1, 1), ())


@pytest.mark.parametrize(
    ("selling_on", "answer"),
    [
        (SellingOn(), Availability(None, (COMMISSION,))),
        (SellingOn(Selling.FREE), Availability(date(2027, 1, 1), ())),
        (SellingOn(Selling.AFTER, after=date(2026, 12, 31)), Availability(date(2027, 1, 1), ())),
        (SellingOn(Selling.AFTER, after=date(2027, 1, 1)), Availability(date(2027, 1, 2), (COMMISSION,))),
        (SellingOn(Selling.AFTER, after=date.max), Availability(None, (COMMISSION,))),
        (SellingOn(Selling.AFTER), Availability(None, (COMMISSION,))),
        (SellingOn(Selling.NOT_TO, not_to=frozenset({"delicatessen"})), Availability(None, (COMMISSION,))),
        (SellingOn(Selling.NOT_TO, not_to=frozenset({"bakery"})), Availability(date(2027, 1, 1), ())),
        (SellingOn(Selling.NOT_TO), Availability(date(2027, 1, 1), ())),
        (SellingOn(commissioned_by="Oystercatcher Pantry"), Availability(date(2027, 1, 1), ())),
        (SellingOn(commissioned_by="Walnut Lantern"), Availability(None, (COMMISSION,))),
    ],
)
def test_pictures_made_for_a_client_are_sold_to_others_as_that_client_agreed(selling_on, answer):
    assert asked(selling_on=selling_on) == answer


def test_a_buyer_whose_trade_is_not_known_counts_as_one_of_the_trades_shut_out():
    selling_on = SellingOn(Selling.NOT_TO, not_to=frozenset({"bakery"}))
    assert asked(wish=replace(WISH, trade=None), selling_on=selling_on) == Availability(None, (COMMISSION,))


def test_commission_and_licences_are_told_together():
    selling_on = SellingOn(Selling.AFTER, after=date(2027, 1, 31))
    assert asked(MILL, selling_on=selling_on) == Availability(date(2027, 3, 1), (COMMISSION, "L-1"))


def test_each_use_is_offered_shared_and_exclusive():
    plain = replace(MILL, exclusivity=Exclusivity.NONE)
    (offer,) = offers([WISH], picture="p1", grants=[plain], selling_on=FREE)
    assert offer.shared == Availability(date(2027, 1, 1), ())
    assert offer.exclusive == Availability(date(2027, 3, 1), ("L-1",))


@pytest.mark.parametrize(
    ("wrong", "path"),
    [
        ({"months": 0}, "months"),
        ({"exclusive_months": -1}, "exclusivity.months"),
        ({"media": frozenset({"fax"})}, "media"),
        ({"use_from": date(9999, 12, 1)}, "months"),
    ],
)
def test_a_wish_refuses_to_be_wrong_at_birth(wrong, path):
    with pytest.raises(InvalidUse) as refusal:
        replace(WISH, **wrong)
    assert refusal.value.path == path


grants, wishes = drawn(odd_grant), drawn(odd_wish)


@given(st.tuples(*(grants(place) for place in range(3))), wishes())
@settings(max_examples=60, deadline=None)
def test_the_free_day_is_the_first_that_trying_every_day_finds(made, wish):
    answer = free_from(wish, picture="p1", grants=made, selling_on=FREE, trees=TREES)
    assert list(answer.blocked_by) == brute_force.wish_fits(WORLD, wish, wish.use_from, made)
    day = wish.use_from
    while brute_force.wish_fits(WORLD, wish, day, made):
        day += timedelta(days=1)
        if (day - brute_force.FIRST).days > 130:  # no licence made up here that ends at all ends later
            day = None
            break
    assert answer.free_from == day


def test_wishes_are_free_at_once_later_and_never():
    rng = Random(5)
    counts = Counter()
    for _ in range(600):
        made = [odd_grant(rng.choice, place) for place in range(3)]
        wish = odd_wish(rng.choice)
        answer = free_from(wish, picture="p1", grants=made, selling_on=FREE, trees=TREES)
        kind = "never" if answer.free_from is None else "at once" if answer.is_free_on(wish.use_from) else "later"
        counts[kind] += 1
        assert (kind == "at once") == (not answer.blocked_by)
    assert all(counts[kind] > 20 for kind in ("at once", "later", "never")), counts


def test_a_named_trade_is_shut_out_however_it_is_typed():
    selling_on = SellingOn(Selling.NOT_TO, not_to=frozenset({"Bakery"}))
    assert selling_on.free_from("anyone", "bakery ") is None
    assert selling_on.free_from("anyone", "coffee") == date.min
