from collections.abc import Iterator
from contextlib import contextmanager

import pytest

from shared.outbox.registry import _around, _listeners, around_jobs, listeners_for, on_fact, surroundings


def test_a_listener_is_registered_once_and_unknown_facts_have_none() -> None:
    def listen() -> None: ...

    on_fact("test_only")(listen)
    on_fact("test_only")(listen)
    assert listeners_for("test_only") == (listen,)
    del _listeners["test_only"]
    assert listeners_for("test_only") == ()


@pytest.mark.django_db
def test_a_job_is_done_inside_what_the_rooms_want_round_it() -> None:
    seen = []

    @contextmanager
    def round_it() -> Iterator[None]:
        seen.append("in")
        yield
        seen.append("out")

    around_jobs(round_it)
    around_jobs(round_it)
    try:
        with surroundings():
            seen.append("job")
    finally:
        _around.remove(round_it)
    assert seen == ["in", "job", "out"]
