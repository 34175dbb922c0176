from datetime import UTC, datetime, timedelta

from shared.access.throttle import minutes_to_wait, wait_until

NOON = datetime(2026, 11, 14, 12, 0, tzinfo=UTC)
MINUTE = timedelta(minutes=1)


def test_four_wrong_tries_are_free_and_the_fifth_makes_one_wait() -> None:
    failures = [NOON - n * MINUTE for n in range(4)]
    assert wait_until(failures, at=NOON) is None
    assert wait_until([*failures, NOON - 10 * MINUTE], at=NOON) == NOON + 5 * MINUTE


def test_old_failures_and_those_to_come_count_for_nothing() -> None:
    assert wait_until([NOON - 15 * MINUTE] * 9 + [NOON + MINUTE] * 9, at=NOON) is None


def test_of_many_failures_the_fifth_last_decides() -> None:
    failures = [NOON - n * MINUTE for n in range(10)]
    assert wait_until(failures, at=NOON) == NOON - 4 * MINUTE + 15 * MINUTE


def test_a_wait_is_told_in_whole_minutes_and_is_never_none() -> None:
    assert minutes_to_wait(NOON + timedelta(seconds=61), NOON) == 2
    assert minutes_to_wait(NOON + timedelta(seconds=60), NOON) == 1
    assert minutes_to_wait(NOON, NOON) == 1
