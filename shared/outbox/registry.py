"""Which functions want to hear of which fact. Rooms above register theirs in their app's ``ready()``."""

from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, ExitStack, contextmanager
from typing import Any

Listener = Callable[..., Any]
Around = Callable[[], AbstractContextManager[Any]]
_listeners: dict[str, list[Listener]] = {}
_around: list[Around] = []


def on_fact(kind: str) -> Callable[[Listener], Listener]:
    """Registers ``listener(*, at, **facts)`` for a kind of fact. It runs once, in one transaction with the others for that fact."""

    def register(listener: Listener) -> Listener:
        listeners = _listeners.setdefault(kind, [])
        if listener not in listeners:
            listeners.append(listener)
        return listener

    return register


def around_jobs(make: Around) -> None:
    """Every job is done inside ``with make():``; for what a whole room reckons with."""
    if make not in _around:
        _around.append(make)


@contextmanager
def surroundings() -> Iterator[None]:
    """What the rooms want round a job."""
    with ExitStack() as stack:
        for make in _around:
            stack.enter_context(make())
        yield


def listeners_for(kind: str) -> tuple[Listener, ...]:
    return tuple(_listeners.get(kind, ()))
