"""Rows of the books as plain values, for export and for backups of PostgreSQL."""

import json
from collections.abc import Iterator
from typing import Any

from django.apps import apps
from django.core.serializers.json import DjangoJSONEncoder
from django.db import connection, models
from django.db.migrations.recorder import MigrationRecorder

OWN_APPS = ("shared", "clients", "shoots", "billing", "studio")
# Books without a person have these rows too; who changes them has signed in, so that person's row is there as well.
FILLED_BY_MIGRATE = {"clients_trade", "clients_tradeword"}


def own_models() -> list[type[models.Model]]:
    """Every table of the house, those that others point at first; many-to-many tables with them."""
    found: list[type[models.Model]] = []
    for label in OWN_APPS:
        found += apps.get_app_config(label).get_models(include_auto_created=True)
    return found


def columns_of(model: type[models.Model]) -> list[Any]:
    return list(model._meta.concrete_fields)


def rows_of(model: type[models.Model]) -> Iterator[tuple[Any, ...]]:
    """The rows as Python values, in the order of the key, fetched bit by bit."""
    names = [field.attname for field in columns_of(model)]
    yield from model._default_manager.order_by("pk").values_list(*names).iterator(chunk_size=500)


def written(value: Any) -> str:
    """A value as one cell of a table: ISO dates, decimals as they are, JSON as JSON, nothing as nothing."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, dict | list):
        return json.dumps(value, ensure_ascii=False, sort_keys=True, cls=DjangoJSONEncoder)
    if hasattr(value, "isoformat"):
        return str(value.isoformat())
    return str(value)


def raw_tables() -> list[str]:
    """Every table in the database, Django's own included."""
    return sorted(connection.introspection.table_names())


def own_tables() -> list[str]:
    """The tables in the database that are this program's, Django's own and the list of migrations included."""
    there = set(raw_tables())
    return sorted(there & {*connection.introspection.django_table_names(), MigrationRecorder.Migration._meta.db_table})


def columns_there(table: str) -> set[str]:
    """The columns a table has in the database now, whatever its model says."""
    with connection.cursor() as cursor:
        return {column.name for column in connection.introspection.get_table_description(cursor, table)}
