import pytest

from tests.benchmarks import oracle
from tests.shoots.run.days import faults, two_dishes

needs_it = pytest.mark.skipif(not oracle.is_there(), reason="OR-Tools is not installed")


@needs_it
@pytest.mark.parametrize(
    ("day", "finish"),
    [
        (two_dishes(lead=6), 64),
        (two_dishes(), 70),
        (two_dishes(lead=6, first_set=True), 85),
        (two_dishes(lead=6, first_set=True, cook_closed=((60, 100),)), 114),
    ],
)
def test_the_solver_agrees_with_the_hand_checked_days(day, finish):
    best = oracle.optimum_of(day)
    assert best is not None
    assert (best.cost, best.is_proved) == (finish, True)
    assert faults(day, best.starts) == []
