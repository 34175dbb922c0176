"""Writes many rows of a table, some thousand at once."""

from collections.abc import Iterable
from itertools import islice
from typing import Any

from django.db import models

AT_ONCE = 2_000  # rows of one INSERT; SQLite takes 32,766 values in a statement, and Django cuts to fit


def write(table: type[models.Model], rows: Iterable[Any]) -> list[Any]:
    """The rows as written, with their keys."""
    written: list[Any] = []
    waiting = iter(rows)
    while some := list(islice(waiting, AT_ONCE)):
        written += table._default_manager.bulk_create(some)
    return written
