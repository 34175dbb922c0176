"""What an address names: the query of a request in, rows out."""

from typing import Any, TypeVar

from django.db.models import Model, QuerySet
from django.http import QueryDict

Row = TypeVar("Row", bound=Model)
LONGEST_KEY = 14
"""Digits of a key; more would be no row's, and no database could read them."""


def row_named(query: QueryDict, name: str, rows: QuerySet[Row]) -> Row | None:
    """The one of ``rows`` whose key an address names as ``name``; None where it names none, or what is no key."""
    key = key_in(query.get(name, ""))
    return rows.filter(pk=key).first() if key is not None else None


def key_in(text: Any) -> int | None:
    """The key of a row that stands in what an address or a form hands in; None for what can be none."""
    key = str(text)
    return int(key) if key.isdecimal() and len(key) <= LONGEST_KEY else None
