"""Which functions want to hear of which fact. Rooms above register theirs in their app's ``ready()``."""

from collections.abc import Callable
from typing import Any

Listener = Callable[..., Any]
_listeners: dict[str, list[Listener]] = {}


def on_fact(kind: str) -> Callable[[Listener], Listener]:
    """Registers ``listener(*, at, **facts)`` for a kind of fact. It runs once, in one transaction with the others for that fact."""

    def register(listener: Listener) -> Listener:
        listeners = _listeners.setdefault(kind, [])
        if listener not in listeners:
            listeners.append(listener)
        return listener

    return register


def listeners_for(kind: str) -> tuple[Listener, ...]:
    return tuple(_listeners.get(kind, ()))
