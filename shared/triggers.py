"""Triggers that keep what is issued: the database itself refuses to change or delete a row, on SQLite and PostgreSQL alike.

    operations = [
        refuse_changes("billing_invoice", but=("state", "paid_on"), when="OLD.state <> 'draft'"),
    ]

Write them into a hand-made `0002_*` of the app. SQLite rebuilds a table when a later migration alters it and loses its triggers
then: such a migration names `refuse_changes` for that table once more.
"""

from collections.abc import Sequence
from typing import Any

from django.db import migrations

SAID = "is kept as it was issued"


def refuse_changes(
    table: str,
    *,
    columns: Sequence[str] = (),
    but: Sequence[str] = (),
    when: str = "",
    deletes: bool = True,
    name: str = "keeps",
) -> migrations.RunPython:
    """A migration step after which ``table`` refuses changes.

    ``columns``: only these are frozen; ``but``: all are, except these; neither: no UPDATE at all. ``when``: an SQL condition over
    ``OLD`` (and ``NEW``, without ``deletes``) that both databases read, such as ``OLD.state <> 'draft'``. ``deletes``: a DELETE of such
    a row is refused too. ``name``: a second rule on the same table has a name of its own, the same one takes the place of the first.
    The refusal reaches Django as ``IntegrityError``.
    """

    def close(_apps: Any, schema_editor: Any) -> None:
        _drop(schema_editor, table, name)
        frozen = tuple(columns) or _all_but(schema_editor, table, but)
        different = " IS NOT " if schema_editor.connection.vendor == "sqlite" else " IS DISTINCT FROM "
        changes = " OR ".join(f'OLD."{column}"{different}NEW."{column}"' for column in frozen)
        _make(
            schema_editor,
            table,
            f"{table}_{name}",
            "update",
            " AND ".join(f"({part})" for part in (when, changes) if part),
        )
        if deletes:
            _make(schema_editor, table, f"{table}_{name}", "delete", when)

    def reopen(_apps: Any, schema_editor: Any) -> None:
        _drop(schema_editor, table, name)

    return migrations.RunPython(close, reopen, elidable=False)


def _all_but(schema_editor: Any, table: str, but: Sequence[str]) -> tuple[str, ...]:
    if not but:
        return ()
    with schema_editor.connection.cursor() as cursor:
        found = [column.name for column in schema_editor.connection.introspection.get_table_description(cursor, table)]
    unknown = set(but) - set(found)
    if unknown:
        raise ValueError(f"{table} has no column {', '.join(sorted(unknown))}.")
    return tuple(column for column in found if column not in but)


def _make(schema_editor: Any, table: str, rule: str, deed: str, condition: str) -> None:
    name, asked = f"{rule}_{deed}", f"WHEN ({condition}) " if condition else ""
    if schema_editor.connection.vendor == "sqlite":
        schema_editor.execute(
            f'CREATE TRIGGER "{name}" BEFORE {deed.upper()} ON "{table}" FOR EACH ROW {asked}'
            f"BEGIN SELECT RAISE(ABORT, '{table} {SAID}'); END"
        )
        return
    schema_editor.execute(
        f'CREATE OR REPLACE FUNCTION "{name}"() RETURNS trigger LANGUAGE plpgsql AS '
        f"$$ BEGIN RAISE EXCEPTION '{table} {SAID}' USING ERRCODE = 'integrity_constraint_violation'; END $$"
    )
    schema_editor.execute(
        f'CREATE TRIGGER "{name}" BEFORE {deed.upper()} ON "{table}" FOR EACH ROW {asked}EXECUTE FUNCTION "{name}"()'
    )


def _drop(schema_editor: Any, table: str, rule: str) -> None:
    for deed in ("update", "delete"):
        name = f"{table}_{rule}_{deed}"
        if schema_editor.connection.vendor == "sqlite":
            schema_editor.execute(f'DROP TRIGGER IF EXISTS "{name}"')
        else:
            schema_editor.execute(f'DROP TRIGGER IF EXISTS "{name}" ON "{table}"')
            schema_editor.execute(f'DROP FUNCTION IF EXISTS "{name}"()')
