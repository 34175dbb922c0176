"""JSON read strictly, for the files of the shell doors."""

import json
from typing import Any


class InvalidJson(ValueError):
    """The text is no JSON (RFC 8259): what is wrong, in the reader's own words."""


class KeyTwice(InvalidJson):
    """A key stands twice in one object: readers keep the last one in silence, and half of what was meant would be lost."""

    def __init__(self, key: str) -> None:
        self.key = key
        super().__init__(f"The key “{key}” is there twice in one object.")


def read_json(text: str | bytes) -> Any:
    """The value of a JSON text. Raises InvalidJson, KeyTwice among them."""
    try:
        return json.loads(text, parse_constant=_no_number, object_pairs_hook=_each_key_once)
    except InvalidJson:
        raise
    except (ValueError, RecursionError) as wrong:
        raise InvalidJson(str(wrong)) from wrong


def _no_number(name: str) -> float:
    raise InvalidJson(f"{name} is no number of JSON.")  # RFC 8259, section 6, though Python's reader takes it


def _each_key_once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for key, value in pairs:
        if key in found:
            raise KeyTwice(key)
        found[key] = value
    return found
