from datetime import timedelta

import pytest

from shared.outbox.schedule import LEASE, MOST_TRIES, wait_after


def test_waits_grow_and_end_with_a_person() -> None:
    waits = [wait_after(tries) for tries in range(1, MOST_TRIES + 1)]
    assert waits[-1] is None
    assert waits[:-1] == sorted(wait for wait in waits if wait)
    with pytest.raises(ValueError, match="failed try"):
        wait_after(0)


def test_a_lease_outlives_the_patience_with_a_mail_server() -> None:
    from shared.outbox.letters import PATIENCE_SECONDS

    assert timedelta(seconds=4 * PATIENCE_SECONDS) < LEASE
