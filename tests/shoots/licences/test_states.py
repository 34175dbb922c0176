from datetime import date

import pytest
from hypothesis import HealthCheck, settings
from hypothesis.stateful import run_state_machine_as_test

from shoots.licences.states import LICENCE_MOVES, State, acts_as, is_blocking, lapse_day, may_become, uncovered_days
from tests.shoots.life import life_machine


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


LIVES = settings(
    max_examples=12, stateful_step_count=25, derandomize=True, database=None, deadline=None, suppress_health_check=list(HealthCheck),
)  # fmt: skip


@pytest.fixture
def counted():
    seen = (life_machine.moved, life_machine.refused, life_machine.came_back)
    [each.clear() for each in seen]
    return seen


@pytest.mark.django_db
def test_lives_drawn_by_lot_never_leave_two_rivals_nor_a_client_without_a_word(counted):
    """Whatever is pressed in whatever order, after each press the books are looked at; a refusal leaves every licence as it was."""
    run_state_machine_as_test(life_machine.Lives, settings=LIVES)
    moved, refused, _came_back = counted
    table = {(was, to) for was, targets in LICENCE_MOVES.items() for to in targets}
    assert set(moved) - table <= {("superseded", "paid")}, "superseding it taken back, where the change came to nothing"
    assert len(moved) >= 3, "not vacuous"
    assert len(refused) >= 3


@pytest.mark.django_db
def test_every_move_of_the_table_and_every_refusal_stands_under_the_same_looks(counted):
    life_machine.lived_once()
    moved, refused, came_back = counted
    table = {(was, to) for was, targets in LICENCE_MOVES.items() for to in targets}
    assert set(moved) == table | {("superseded", "paid")}
    assert set(refused) == {
        "LicenceConflict", "NotForSale", "NotCleared", "NoCell", "LicenceUnsigned", "CannotRenew", "CannotChange", "HeldAlready",
        "NoCopies", "MoveRefused",
    }  # fmt: skip
    assert came_back["given_back"] == 2
