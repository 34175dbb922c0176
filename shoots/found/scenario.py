"""A use seen in the wild as a file for ``manage.py check_use``, so that the answer of the page can be had apart from it."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Any

from shoots.found.verdict import Held, Seen
from shoots.licences.grants import Grant
from shoots.licences.states import acts_as
from shoots.uses.intended import Begins

UNKNOWN_USER = "unknown"


def scenario_of(seen: Seen, held: Iterable[Held]) -> dict[str, Any]:
    """Licences and one coverage question a picture, as ``shoots.licences.scenarios`` reads them; ids are those of the books.

    Unplaced licences cover nothing and are left out. A superseded or revoked one is written as the state whose rights it has,
    ending on the day it was cut: to cover is all that is asked. Raises InvalidUse while something is missing.
    """
    use = seen.use
    asked = {
        "licensee": seen.user or UNKNOWN_USER,
        "classes": sorted(use.classes),
        "media": sorted(use.media),
        "territories": sorted(use.territories),
        "from": use.use_from.isoformat(),
        "until": _iso(use.use_until),
        "copies": use.copies,
    }
    return {
        "licences": [_licence(each.grant) for each in held if each.grant.is_placed],
        "questions": [
            {"id": picture, "ask": "coverage", "use": {"picture": picture, **asked}} for picture in seen.pictures
        ],
    }


def _licence(grant: Grant) -> dict[str, Any]:
    begins = grant.begins_on.isoformat() if grant.begins_on and grant.begins is Begins.ON_DATE else str(grant.begins)
    return {
        "id": grant.id,
        "pictures": sorted(grant.pictures),
        "licensee": grant.licensee,
        "trade": grant.trade,
        "classes": sorted(grant.classes),
        "media": sorted(grant.media),
        "territories": sorted(grant.territories),
        "use_from": grant.use_from.isoformat(),
        "use_until": _iso(grant.use_until),
        "cut_on": _iso(grant.cut_on),
        "state": str(acts_as(grant.state, grant.left)),
        "exclusivity": {"kind": str(grant.exclusivity), "until": _iso(grant.exclusive_until)},
        "embargo_until": _iso(grant.embargo_until),
        "begins": begins,
        "delivered_on": _iso(grant.delivered_on),
        "lapses_on": _iso(grant.lapses_on),
        "copies": grant.copies,
        "copies_used": grant.copies_used,
    }


def _iso(day: date | None) -> str | None:
    return day.isoformat() if day else None
