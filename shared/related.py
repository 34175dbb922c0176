"""Rows by their keys, and figures of the rows that point at a row, asked for beside it."""

from collections.abc import Iterable
from typing import Any, TypeVar

from django.db.models import Aggregate, Count, Model, OuterRef, Q, QuerySet, Subquery
from django.db.models.functions import Coalesce

Row = TypeVar("Row", bound=Model)


def reckoned(relation: Any, figure: Aggregate, *, where: Q | None = None, of: str = "pk") -> Subquery:
    """``figure`` over the rows of a relation, such as ``reckoned(Invoice.payments, Sum("amount"))``; NULL where there are none.

    A sub-query of its own: joined, two relations would multiply each other's rows, and the query would be grouped by each column
    of each table it reads. ``of`` leads from the row asked for to the one the relation belongs to; ``where`` picks among its rows.
    """
    key = relation.field.name
    rows = relation.field.model._default_manager.filter(where or Q(), **{key: OuterRef(of)}).order_by()
    return Subquery(rows.values(key).annotate(figure=figure).values("figure"))


def in_order(rows: QuerySet[Row], keys: Iterable[int]) -> list[Row]:
    """The rows with these keys in the order of the keys.

    For a page of a long sorted list: sorting whole rows, texts and JSON included, takes the database many times as long as sorting keys.
    """
    asked = list(keys)
    by_key = rows.order_by().in_bulk(asked)
    return [by_key[key] for key in asked if key in by_key]


def number_of(relation: Any, *, where: Q | None = None, of: str = "pk") -> Coalesce:
    """How many rows a relation holds, such as ``number_of(Shoot.dishes)``."""
    return Coalesce(reckoned(relation, Count("pk", distinct=True), where=where, of=of), 0)
