"""What an address names: the query of a request in, rows out."""

from typing import TypeVar

from django.db.models import Model, QuerySet
from django.http import QueryDict

Row = TypeVar("Row", bound=Model)
LONGEST_KEY = 14
"""Digits of a key; more would be no row's, and no database could read them."""


def row_named(query: QueryDict, name: str, rows: QuerySet[Row]) -> Row | None:
    """The one of ``rows`` whose key an address names as ``name``; None where it names none, or what is no key."""
    key = str(query.get(name, ""))
    return rows.filter(pk=int(key)).first() if key.isdecimal() and len(key) <= LONGEST_KEY else None
