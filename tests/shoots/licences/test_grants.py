from dataclasses import replace
from datetime import date, timedelta
from random import Random

import pytest
from hypothesis import given

from shoots.licences.grants import Grant, InvalidGrant, grant_wished
from shoots.licences.states import State
from shoots.uses.intended import Begins, Exclusivity, InvalidUse
from tests.shoots.licences import brute_force
from tests.shoots.licences.odd_licences import WORLD, drawn, odd_grant

PAID = Grant(
    id="L-1",
    licensee="Walnut Lantern",
    pictures=frozenset({"p1"}),
    classes=frozenset({"advertising"}),
    media=frozenset({"web.own"}),
    territories=frozenset({"DE"}),
    use_from=date(2026, 12, 1),
    use_until=date(2028, 12, 1),
    state=State.PAID,
)


@pytest.mark.parametrize(
    ("wrong", "path"),
    [
        ({"pictures": frozenset()}, "pictures"),
        ({"classes": frozenset()}, "classes"),
        ({"media": frozenset({"fax"})}, "media"),
        ({"territories": frozenset()}, "territories"),
        ({"use_until": date(2026, 12, 1)}, "use_until"),
        ({"copies": -1}, "copies"),
        ({"copies_used": -1}, "copies_used"),
        ({"begins": Begins.ON_DATE}, "begins"),
    ],
)
def test_a_licence_without_a_cell_or_with_a_senseless_figure_can_t_be(wrong, path):
    with pytest.raises(InvalidGrant) as refusal:
        replace(PAID, **wrong)
    assert refusal.value.path == path


def test_the_last_day_is_inside_and_the_day_after_is_outside():
    assert PAID.is_running(date(2028, 11, 30))
    assert not PAID.is_running(date(2028, 12, 1))
    assert PAID.is_running(date(2026, 12, 1))
    assert not PAID.is_running(date(2026, 11, 30))


def test_an_accepted_licence_covers_nothing_until_it_is_paid():
    accepted = replace(PAID, state=State.ACCEPTED)
    assert not accepted.is_covering
    assert accepted.is_blocking


def test_use_that_begins_on_delivery_covers_before_payment_and_lapses():
    accepted = replace(PAID, state=State.ACCEPTED, begins=Begins.ON_DELIVERY, lapses_on=date(2026, 12, 30))
    assert not accepted.is_covering
    delivered = replace(accepted, delivered_on=date(2026, 12, 4))
    assert (delivered.covered_from, delivered.covered_until) == (date(2026, 12, 4), date(2026, 12, 30))
    assert delivered.is_running(date(2026, 12, 29))
    assert not delivered.is_running(date(2026, 12, 30))
    paid = replace(delivered, state=State.PAID)
    assert (paid.covered_from, paid.covered_until) == (date(2026, 12, 1), date(2028, 12, 1))


def test_use_that_begins_on_a_date_covers_from_that_date():
    accepted = replace(PAID, state=State.ACCEPTED, begins=Begins.ON_DATE, begins_on=date(2027, 1, 4))
    assert accepted.is_covering
    assert accepted.covered_from == date(2027, 1, 4)


def test_a_revoked_licence_covers_until_the_day_it_is_cut():
    revoked = replace(PAID, state=State.REVOKED, cut_on=date(2027, 6, 1))
    assert revoked.until == date(2027, 6, 1)
    assert revoked.is_running(date(2027, 5, 31))
    assert not revoked.is_running(date(2027, 6, 1))


def test_an_unplaced_licence_covers_nothing():
    assert not replace(PAID, is_placed=False).is_covering


def test_copies_left_are_those_granted_less_those_reported():
    assert PAID.copies_left is None
    assert replace(PAID, copies=1000, copies_used=400).copies_left == 600


@given(drawn(odd_grant)())
def test_running_days_are_the_days_listed_one_by_one(grant):
    listed = brute_force.covered_days(grant)
    for count in range(120):
        assert grant.is_running(brute_force.FIRST + timedelta(count)) == (count in listed)


def test_no_made_up_licence_is_empty_and_each_state_is_made():
    rng = Random(20270301)
    grants = [odd_grant(rng.choice, place) for place in range(400)]
    assert all(
        brute_force.cell_set(WORLD, grant, brute_force.day_set(grant.use_from, grant.use_until))
        for grant in grants[:60]
    )
    assert {grant.state for grant in grants} == set(State)


WISH = {
    "use_classes": ["advertising"],
    "use_media": ["web.own"],
    "use_territories": ["DE"],
    "use_months": 24,
    "exclusivity": "none",
    "exclusive_months": None,
}


def wished(**also):
    known = {"licensee": "Walnut Lantern", "pictures": ["p1"], "use": WISH, "first_day": date(2026, 12, 1)}
    return grant_wished("L-1", **{**known, **also})


def test_a_use_wished_for_is_an_offer_of_its_months_or_up_to_its_last_day():
    assert wished() == replace(PAID, state=State.OFFERED)
    assert wished(last_day=date(2027, 3, 31)).use_until == date(2027, 4, 1)
    assert wished(use={**WISH, "use_months": None}).use_until is None
    assert (wished(trade="coffee").trade, wished().trade) == ("coffee", None)


def test_a_use_wished_for_alone_is_so_for_its_months_or_before_a_day():
    alone = {**WISH, "exclusivity": "picture", "exclusive_months": 6}
    assert (wished(use=alone).exclusivity, wished(use=alone).exclusive_until) == (
        Exclusivity.PICTURE,
        date(2027, 6, 1),
    )
    day = date(2027, 2, 1)
    assert wished(use={**alone, "exclusive_months": None}, exclusive_until=day).exclusive_until == day
    assert wished(exclusive_until=day).exclusive_until is None


@pytest.mark.parametrize(
    "wrong",
    [
        {"last_day": date.max},
        {"last_day": date(2026, 11, 30)},
        {"first_day": date(9999, 1, 1)},
        {"pictures": []},
        {"use": {**WISH, "use_media": ["fax"]}},
    ],
)
def test_a_wish_that_cannot_be_is_refused(wrong):
    with pytest.raises(InvalidUse):
        wished(**wrong)
