from datetime import date

import pytest

from shoots.licences.states import LICENCE_MOVES, State, acts_as, is_blocking, lapse_day, may_become, uncovered_days


def test_a_licence_may_only_move_as_the_table_says():
    allowed = {(was, to) for was in State for to in State if may_become(was, to)}
    assert allowed == {
        ("draft", "offered"),
        ("offered", "accepted"),
        ("offered", "declined"),
        ("accepted", "paid"),
        ("accepted", "declined"),
        ("accepted", "superseded"),
        ("paid", "refunded"),
        ("paid", "revoked"),
        ("paid", "superseded"),
    }
    assert set(LICENCE_MOVES) == set(State)


def test_accepted_and_paid_licences_block_and_so_do_revoked_and_superseded_ones_until_they_are_cut():
    assert {state for state in State if is_blocking(state)} == {"accepted", "paid", "revoked", "superseded"}


def test_a_superseded_licence_keeps_what_the_state_it_left_covered():
    assert acts_as(State.SUPERSEDED, State.ACCEPTED) is State.ACCEPTED
    assert acts_as(State.SUPERSEDED, State.PAID) is State.PAID
    assert acts_as(State.REVOKED, State.ACCEPTED) is State.PAID
    assert acts_as(State.REFUNDED, State.PAID) is State.REFUNDED


@pytest.mark.parametrize(
    ("old_until", "new_from", "days"),
    [
        (date(2027, 3, 1), date(2027, 3, 1), 0),
        (date(2027, 3, 1), date(2027, 3, 2), 1),
        (date(2027, 3, 1), date(2027, 2, 1), 0),
        (None, date(2027, 2, 1), 0),
    ],
)
def test_a_renewal_that_starts_late_leaves_days_uncovered(old_until, new_from, days):
    assert uncovered_days(old_until, new_from) == days


def test_due_15_december_and_14_days_lapses_on_30_december():
    assert lapse_day(date(2026, 12, 15), 14) == date(2026, 12, 30)
