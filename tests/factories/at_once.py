"""Two at work in the same moment, in an order that is the same each time."""

import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager

from django.db import connection, transaction

HELD_SECONDS = 0.5


@contextmanager
def held_by_somebody_else(first: Callable[[], object], then: Callable[[], object]) -> Iterator[None]:
    """Inside, somebody else's transaction has done ``first`` and soon does ``then``. What stops it is raised at the end."""
    begun, stopped = threading.Event(), []

    def run() -> None:
        try:
            with transaction.atomic():
                first()
                begun.set()
                time.sleep(HELD_SECONDS)
                then()
        except Exception as problem:
            stopped.append(problem)
        finally:
            begun.set()
            connection.close()

    thread = threading.Thread(target=run)
    thread.start()
    begun.wait()
    try:
        yield
    finally:
        thread.join()
    if stopped:
        raise stopped[0]
