"""What stands at a path of a JSON value, and the value with another one there. A path is as in ``places_in_json``; codes in it may hold points."""

from collections.abc import Mapping
from typing import Any


class NothingThere(LookupError):
    """No value stands at the path, nor anything it could be put into."""


def value_at(data: Any, path: str) -> Any:
    """The value at a path; the whole at "". Raises NothingThere."""
    while path:
        key, path = _first(data, path)
        data = data[key]
    return data


def put_at(data: Any, path: str, value: Any) -> None:
    """Put a value at a path, in place; a member that is missing is added where all above it stands. Raises NothingThere."""
    while True:
        try:
            key, rest = _first(data, path)
        except NothingThere:
            if not isinstance(data, dict) or not path or path.startswith("["):
                raise
            data[path] = value
            return
        if not rest:
            data[key] = value
            return
        data, path = data[key], rest


def take_out(data: Any, path: str) -> None:
    """Take the member at a path out of what holds it, in place. Raises NothingThere."""
    while True:
        key, rest = _first(data, path)
        if not rest:
            del data[key]
            return
        data, path = data[key], rest


def _first(data: Any, path: str) -> tuple[Any, str]:
    """The first step of a path and what is left: the longest member that fits, for a code may be ``web`` or ``web.own``."""
    if path.startswith("[") and isinstance(data, list):
        number, _, rest = path[1:].partition("]")
        if number.isdecimal() and int(number) < len(data):
            return int(number), rest.removeprefix(".")
    if isinstance(data, Mapping):
        for name in sorted((each for each in data if path.startswith(each)), key=len, reverse=True):
            rest = path[len(name) :]
            if not rest or rest[0] in ".[":
                return name, rest.removeprefix(".")
    raise NothingThere(path)
