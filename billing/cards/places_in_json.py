"""Where each value of a JSON text stands: its path and its line."""

import re
from collections.abc import Iterator
from json.decoder import scanstring  # type: ignore[attr-defined]

BLANKS = re.compile(r"[ \t\r\n]*")
PLAIN = re.compile(r"[^,\]}\s]+")


def places(text: str) -> Iterator[tuple[str, int]]:
    """(path, line) of each value in the order of the text, as ``card.term[3]``; the whole has the path "". ``text`` is sound JSON."""
    at, line = _skip(text, 0), 1
    line += text.count("\n", 0, at)
    open_parts: list[
        tuple[str, int | None]
    ] = []  # the path of each open part, and the place of its next item (None: an object)
    path = ""
    while at < len(text):
        yield path, line
        sign, start = text[at], at
        if sign in "{[":
            open_parts.append((path, None if sign == "{" else 0))
            at += 1
        elif sign == '"':
            _, at = scanstring(text, at + 1)
        else:
            at = PLAIN.match(text, at).end()  # type: ignore[union-attr]
        # On to the next value: past blanks and commas, out of what is closed, over the name of a member.
        while True:
            at = _skip(text, at)
            if at >= len(text) or not open_parts:
                return
            if text[at] in "]}":
                open_parts.pop()
                at += 1
            elif text[at] == ",":
                at += 1
            else:
                break
        above, item = open_parts[-1]
        if item is None:
            name, at = scanstring(text, at + 1)
            at = _skip(text, _skip(text, at) + 1)
            path = f"{above}.{name}" if above else name
        else:
            open_parts[-1] = above, item + 1
            path = f"{above}[{item}]"
        line += text.count("\n", start, at)


def _skip(text: str, at: int) -> int:
    return BLANKS.match(text, at).end()  # type: ignore[union-attr]
