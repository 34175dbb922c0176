"""Backup, restore, export: everything the books hold, in files that need nothing of this program to be read."""

import csv
import io
import json
import shutil
import sqlite3
import tempfile
import zipfile
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management import call_command
from django.core.serializers.json import DjangoJSONEncoder
from django.db import connection, transaction
from django.db.migrations.executor import MigrationExecutor
from django.db.migrations.loader import MigrationLoader

from shared.errors import Refusal
from shared.evidence.queries import evidence_head
from shared.files.actions import write_whole
from shared.files.models import StoredFile
from studio.upkeep.archive import ArchiveWriter, BackupDamaged, check_parts, kept_files, open_archive, read_manifest
from studio.upkeep.tables import (
    FILLED_BY_MIGRATE,
    columns_of,
    columns_there,
    own_models,
    own_tables,
    raw_tables,
    rows_of,
    written,
)

DATABASE = "database.sqlite3"
ROWS = "rows.jsonl"
NOT_EXPORTED = {"password"}
KEY_WORDS = (
    "The secret key of these books (secret.key in the data folder) is not in this file. With another key people sign in again, and the addresses of "
    "private links sent before still open but can no longer be shown. Keep a copy of secret.key in another safe place if you want both."
)


class BooksNotEmpty(Refusal):
    """A backup is restored into an empty data folder only."""

    def __init__(self, where: str) -> None:
        super().__init__(
            f"There are books in {where} already.",
            "They were not touched, and nothing was restored.",
            "Name an empty folder in PLATE_LEDGER_DATA, or move the old one away first.",
        )


class BackupNewer(Refusal):
    """A backup of a later program: its tables have a form that this one does not know."""

    def __init__(self, step: tuple[str, str]) -> None:
        super().__init__(
            f"This backup was made by a newer program than this one: its tables were changed by “{step[0]} {step[1]}”.",
            "Nothing was restored.",
            "Restore it with the program that made it, or a newer one.",
        )


class NoRoomToRestore(Refusal):
    """The disk has less room than the backup unpacked."""

    status = 507

    def __init__(self, needed: int, free: int) -> None:
        super().__init__(
            f"The disk has no room for this backup: it needs {needed / 1024**2:,.0f} MB, and {free / 1024**2:,.0f} MB are free.",
            "Nothing was restored.",
            "Make room on the disk, then restore it again.",
        )


@dataclass(frozen=True, slots=True)
class Made:
    """What was written: where, how large, how many files, and the names of files that were missing on the disk."""

    path: Path
    size: int
    files: int
    missing: tuple[str, ...]


def make_backup(target: Path, *, at: datetime) -> Made:
    """Writes a backup to ``target`` while the house goes on working. The file is whole or not there.

    The database is copied first, then the files its rows name: files are kept before their rows and never change, so
    none can be missing that was not missing already.
    """
    with _fresh_zip(target, zipfile.ZIP_STORED) as archive:
        writer = ArchiveWriter(archive)
        with tempfile.TemporaryDirectory(dir=target.parent) as folder:
            if connection.vendor == "sqlite":
                named, head = _copy_sqlite(writer, Path(folder))
            else:
                named, head = _copy_rows(writer)
        files, missing = _add_files(writer, named)
        writer.add_bytes("READ ME.txt", _backup_words(at).encode())
        facts = {
            "made_at": at.isoformat(),
            "database": connection.vendor,
            "evidence_seq": head[0],
            "evidence_hash": head[1],
            "missing": missing,
        }
        writer.close(facts)
    return Made(target, target.stat().st_size, files, tuple(missing))


def restore_backup(source: Path, *, say: Callable[[str], object] = print) -> int:
    """Restores a backup into empty books and returns the number of files.

    Raises ``BackupDamaged``, ``BackupNewer``, ``BooksNotEmpty`` or ``NoRoomToRestore``. Every part is checked before the
    first is written; the database comes last, so that a restore that was stopped leaves books that still count as empty.
    """
    with open_archive(source) as archive:
        manifest = read_manifest(archive)
        if manifest.get("database") != connection.vendor:
            raise BackupDamaged(
                f"it was made with {manifest.get('database')}, and these books are on {connection.vendor}."
            )
        if _database_part() not in manifest["parts"]:
            raise BackupDamaged("the database is not in it.")
        files = kept_files(manifest)
        _refuse_unless_empty()
        _refuse_without_room(sum(said["size"] for said in manifest["parts"].values()))
        say("Checking every part of the backup.")
        check_parts(archive, manifest)
        steps = _known_steps(archive)
        for sha256 in files:
            write_whole(StoredFile(sha256=sha256).path, archive.read(f"files/{sha256}"))
        if connection.vendor == "sqlite":
            _put_sqlite(archive)
        else:
            _put_rows(archive, steps)
    call_command("migrate", verbosity=0, interactive=False)
    return len(files)


def export_books(target: Path, *, at: datetime) -> Made:
    """Writes everything as tables (CSV, JSON) and files into one ZIP that any program can read."""
    with _fresh_zip(target, zipfile.ZIP_DEFLATED) as archive:
        writer = ArchiveWriter(archive)
        words = [f"Everything in these books, written on {at:%Y-%m-%d %H:%M} UTC.", "", _EXPORT_WORDS, "", "Tables", ""]
        with tempfile.TemporaryDirectory(dir=target.parent) as folder, transaction.atomic():
            everything = Path(folder) / "tables.json"
            with everything.open("w", encoding="utf-8") as out:
                out.write("{")
                for index, model in enumerate(own_models()):
                    words += _export_table(writer, model, out, is_first=index == 0)
                out.write("\n}\n")
            writer.add_file("tables.json", everything)
            kept = list(StoredFile.objects.order_by("kept_at", "pk"))
        missing = [stored.name for stored in kept if not stored.path.exists()]
        for stored in kept:
            if stored.path.exists():
                writer.add_file(f"files/{stored.kind}/{stored.pk}/{_plain_name(stored.name)}", stored.path)
        writer.add_bytes("READ ME.txt", "\n".join(words).encode())
        writer.close({"made_at": at.isoformat(), "missing": missing})
    return Made(target, target.stat().st_size, len(kept) - len(missing), tuple(missing))


_EXPORT_WORDS = """tables/<table>.csv   one file a table: UTF-8, commas, a head line; dates as 2026-11-14, moments in UTC, yes and no, empty for nothing
tables.json          the same in one file
files/<kind>/<id>/   every file kept: papers, receipts, pictures; <id> is the id column of shared_storedfile

Passwords are not in it (only their hashes are kept at all, and those are left out)."""


def _export_table(writer: ArchiveWriter, model: Any, everything: Any, *, is_first: bool) -> list[str]:
    columns = [field for field in columns_of(model) if field.name not in NOT_EXPORTED]
    skip = [index for index, field in enumerate(columns_of(model)) if field.name in NOT_EXPORTED]
    names = [field.attname for field in columns]
    table = io.StringIO()
    lines = csv.writer(table, lineterminator="\r\n")  # RFC 4180 section 2
    lines.writerow(names)
    everything.write(("" if is_first else ",") + f"\n{json.dumps(model._meta.db_table)}: [")
    count = 0
    for row in rows_of(model):
        values = [value for index, value in enumerate(row) if index not in skip]
        lines.writerow([written(value) for value in values])
        everything.write(
            ("," if count else "")
            + "\n"
            + json.dumps(dict(zip(names, values, strict=True)), ensure_ascii=False, cls=DjangoJSONEncoder)
        )
        count += 1
    everything.write("]")
    writer.add_bytes(f"tables/{model._meta.db_table}.csv", b"\xef\xbb\xbf" + table.getvalue().encode())
    told = (model.__doc__ or "").strip().split("\n")[0]
    about = "" if told.startswith(f"{model.__name__}(") else told
    return [f"{model._meta.db_table}: {count} rows. {about}".rstrip(), "    " + ", ".join(names), ""]


@contextmanager
def _fresh_zip(target: Path, compression: int) -> Iterator[zipfile.ZipFile]:
    """A ZIP under a temporary name that takes its real one when it is whole."""
    target.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    fresh = target.with_name(f".{target.name}.part")
    try:
        with zipfile.ZipFile(fresh, "w", compression) as archive:
            yield archive
        fresh.chmod(0o600)
        fresh.replace(target)
    finally:
        fresh.unlink(missing_ok=True)


def _copy_sqlite(writer: ArchiveWriter, folder: Path) -> tuple[list[str], tuple[int, str]]:
    """VACUUM INTO: one moment of the database, while others write; a page-by-page copy would start again at each write."""
    copy = folder / DATABASE
    with closing(sqlite3.connect(settings.DATABASES["default"]["NAME"], timeout=20, isolation_level=None)) as source:
        source.execute("VACUUM INTO ?", (str(copy),))
    with closing(sqlite3.connect(copy)) as copied:
        named = [row[0] for row in copied.execute("SELECT DISTINCT sha256 FROM shared_storedfile ORDER BY sha256")]
        head = copied.execute("SELECT seq, hash FROM shared_evidencehead WHERE id = 1").fetchone() or (0, "0" * 64)
    writer.add_file(DATABASE, copy)
    return named, (int(head[0]), str(head[1]))


def _copy_rows(writer: ArchiveWriter) -> tuple[list[str], tuple[int, str]]:
    """Every row of every table at one moment, one JSON object a line: PostgreSQL."""
    with transaction.atomic(), connection.cursor() as cursor:
        cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ, READ ONLY")
        lines = []
        for table in own_tables():
            cursor.execute(f'SELECT row_to_json(rows_of_it)::text FROM "{table}" AS rows_of_it')  # noqa: S608  the name comes from the database
            lines += [json.dumps({"table": table, "row": row[0]}) for row in cursor.fetchall()]
        named = list(StoredFile.objects.order_by("sha256").values_list("sha256", flat=True).distinct())
        head = evidence_head()
    writer.add_bytes(ROWS, "\n".join(lines).encode())
    return named, head


def _add_files(writer: ArchiveWriter, named: list[str]) -> tuple[int, list[str]]:
    missing = []
    for sha256 in named:
        path = StoredFile(sha256=sha256).path
        if not path.exists() or writer.add_file(f"files/{sha256}", path) != sha256:
            missing.append(sha256)
    return len(named) - len(missing), missing


def _refuse_unless_empty() -> None:
    if connection.vendor == "sqlite":
        path = Path(settings.DATABASES["default"]["NAME"])
        if path.exists() and path.stat().st_size and _has_rows():
            raise BooksNotEmpty(str(path.parent))
    elif _has_rows():
        raise BooksNotEmpty("the database")


def _has_rows() -> bool:
    """Any row in a table of ours but those `migrate` makes: tables and the list of trades alone are no books."""
    asked = set(raw_tables()) - FILLED_BY_MIGRATE
    return any(model._default_manager.exists() for model in own_models() if model._meta.db_table in asked)


def _refuse_without_room(needed: int) -> None:
    """Files and database both lie in the data folder; on PostgreSQL the database may lie elsewhere, and nothing says how much room."""
    folder = Path(settings.DATA_FOLDER)
    there = next(each for each in (folder, *folder.absolute().parents) if each.exists())
    free = shutil.disk_usage(there).free
    if needed > free:
        raise NoRoomToRestore(needed, free)


def _database_part() -> str:
    return DATABASE if connection.vendor == "sqlite" else ROWS


def _known_steps(archive: zipfile.ZipFile) -> set[tuple[str, str]]:
    """The migrations that made the backup's tables, app and name. Raises ``BackupNewer`` when one is not known here."""
    try:
        steps = set(_steps_in_sqlite(archive) if connection.vendor == "sqlite" else _steps_in_rows(archive))
    except (sqlite3.Error, LookupError, TypeError, ValueError):
        raise BackupDamaged("its database cannot be read.") from None
    if not steps:
        raise BackupDamaged("its database does not say which program made it.")
    for step in sorted(steps - MigrationLoader(None).disk_migrations.keys()):  # none of ours replaces others
        raise BackupNewer(step)
    return steps


def _steps_in_sqlite(archive: zipfile.ZipFile) -> Iterator[tuple[str, str]]:
    database = archive.read(DATABASE)
    if not database.startswith(b"SQLite format 3\0"):  # https://sqlite.org/fileformat.html section 1.3.1
        raise sqlite3.DatabaseError
    with closing(sqlite3.connect(":memory:")) as line:
        line.deserialize(database)
        yield from line.execute("SELECT app, name FROM django_migrations").fetchall()


def _steps_in_rows(archive: zipfile.ZipFile) -> Iterator[tuple[str, str]]:
    for table, row in _rows_in(archive):
        if table == "django_migrations":
            step = json.loads(row)
            yield step["app"], step["name"]


def _rows_in(archive: zipfile.ZipFile) -> Iterator[tuple[str, str]]:
    """Table and row, as JSON, line by line."""
    with archive.open(ROWS) as part:
        for line in part:
            entry = json.loads(line)
            yield entry["table"], entry["row"]


def _put_sqlite(archive: zipfile.ZipFile) -> None:
    path = Path(settings.DATABASES["default"]["NAME"])
    connection.close()
    for old in (path, path.with_name(path.name + "-wal"), path.with_name(path.name + "-shm")):
        old.unlink(missing_ok=True)
    write_whole(path, archive.read(DATABASE))


_KEYS_OF = "SELECT column_name FROM information_schema.columns WHERE table_name = %s AND is_identity = 'YES'"


def _put_rows(archive: zipfile.ZipFile, steps: set[tuple[str, str]]) -> None:
    """Rows fit only the tables they came from: those are made first; the caller brings both to this program's form."""
    of_others = set(raw_tables()) - set(own_tables())
    _make_tables(steps)
    with transaction.atomic(), connection.cursor() as cursor:
        cursor.execute("SET CONSTRAINTS ALL DEFERRED")
        tables = {table: columns_there(table) for table in raw_tables() if table not in of_others}
        cursor.execute(
            "TRUNCATE " + ", ".join(f'"{table}"' for table in tables)
        )  # what migrate filled in comes from the backup too
        looked_at = set()
        for table, row in _rows_in(archive):
            if table not in tables:
                raise BackupDamaged(f"it has a table “{table}” that this program does not know.")
            if table not in looked_at and set(json.loads(row)) != tables[table]:  # a column too many would be left out
                raise BackupDamaged(f"its table “{table}” has other columns than the program that says it made it.")
            looked_at.add(table)
            insert = f'INSERT INTO "{table}" SELECT * FROM json_populate_record(NULL::"{table}", %s)'  # noqa: S608  a table of ours
            cursor.execute(insert, [row])
        for table in tables:
            cursor.execute(_KEYS_OF, [table])
            for (column,) in cursor.fetchall():
                last = f'COALESCE(MAX("{column}"), 1), MAX("{column}") IS NOT NULL'
                counter = f"pg_get_serial_sequence('\"{table}\"', '{column}')"
                cursor.execute(f'SELECT setval({counter}, {last}) FROM "{table}"')  # noqa: S608  a table of ours


def _make_tables(steps: set[tuple[str, str]]) -> None:
    """The empty tables as they were after these migrations, whatever stood there before: the books are empty."""
    executor = MigrationExecutor(connection)
    if executor.loader.applied_migrations.keys() == steps:
        return
    with transaction.atomic(), connection.cursor() as cursor:
        for table in own_tables():
            cursor.execute(f'DROP TABLE "{table}" CASCADE')
    executor = MigrationExecutor(connection)
    nodes = executor.loader.graph.node_map
    # The last of each app: a migration named after one that came with it would be taken back.
    last = [
        step
        for step in steps
        if not any(child.key[0] == step[0] and child.key in steps for child in nodes[step].children)
    ]
    executor.migrate(last)


def _plain_name(name: str) -> str:
    return "".join(letter if letter.isalnum() or letter in "-_. " else "_" for letter in name).strip(". ") or "file"


def _backup_words(at: datetime) -> str:
    return (
        f"A backup of a photographer's books, made on {at:%Y-%m-%d %H:%M} UTC.\n\nRestore it into an empty folder:\n\n"
        f"    PLATE_LEDGER_DATA=/a/new/folder python3 manage.py restore THIS-FILE.zip\n\n{KEY_WORDS}\n"
    )
