"""The table of every page: one row a URL name, kept beside the tests of the room it belongs to.

Write `PAGES` in `tests/<app>/<room>/pages.py` (`tests/clients/pages.py` for clients):

    PAGES = {
        "client_list": Page(client_list, lists=True),
        "estimate_offer": Page(offer_link, seen_by="stranger"),
        "estimate_panel": Panel(…),      # a fragment another page fetches
        "estimate_paper": Paper(…),      # a download: PDF, CSV, picture, JSON
        "send_estimate": Deed(…),        # answers POST only
    }

The function takes a number of rows, makes them with the factories and gives the path: `def client_list(rows: int) -> str`.
For a detail page the rows are what it lists (lines of an estimate, pictures of a licence).
"""

import importlib
from collections.abc import Callable
from dataclasses import dataclass

from django.urls import URLPattern, URLResolver, get_resolver

from tests.house import rooms

MakePath = Callable[[int], str]


@dataclass(frozen=True)
class Row:
    path: MakePath
    seen_by: str = "owner"  # "stranger" where a private link or no log-in opens it
    lists: bool = False  # counted with one row and with three: the number of queries is the same


class Page(Row):
    """What a person reads: axe at both widths, nothing wider than the phone."""


class Panel(Row):
    """A fragment that another page fetches."""


class Paper(Row):
    """An answer that is no page: PDF, CSV, picture, JSON, script."""


class Deed(Row):
    """Answers POST only."""


def table() -> dict[str, Row]:
    """Every row there is; a name in two rooms is a mistake."""
    rows: dict[str, Row] = {}
    for file in rooms.test_files():
        if file.name == "pages.py" and file.parent.name != "house":
            module = importlib.import_module(".".join(file.relative_to(rooms.ROOT).with_suffix("").parts))
            twice = set(rows) & set(module.PAGES)
            if twice:
                raise ValueError(f"{rooms.name(file)} names again: {sorted(twice)}")
            rows |= module.PAGES
    return rows


def patterns(under: URLResolver | None = None) -> list[URLPattern]:
    """Every pattern of the URL resolver, flat."""
    found: list[URLPattern] = []
    for entry in (under or get_resolver()).url_patterns:
        found += patterns(entry) if isinstance(entry, URLResolver) else [entry]
    return found


def pick(kind: type[Row], *, lists: bool | None = None) -> dict[str, Row]:
    return {name: row for name, row in table().items() if isinstance(row, kind) and lists in (None, row.lists)}
