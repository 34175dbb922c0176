import csv
import functools
import hashlib
import io
import json
import os
import shutil
import sqlite3
import subprocess
import sys
import threading
import zipfile
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from django.conf import settings
from django.core.management import call_command
from django.db import connection, transaction
from django.db.migrations.recorder import MigrationRecorder

from shared.evidence.actions import record_evidence
from shared.files.models import StoredFile
from shared.outbox.actions import queue_mail
from studio.upkeep.actions import (
    BackupNewer,
    BooksNotEmpty,
    NoRoomToRestore,
    export_books,
    make_backup,
    restore_backup,
)
from studio.upkeep.archive import BackupDamaged
from studio.upkeep.queries import check_findings
from studio.upkeep.tables import FILLED_BY_MIGRATE, raw_tables
from tests.factories.shared import EARLY, BusinessProfileFactory, UserFactory, kept_file
from tests.shared.outbox.test_actions import a_link

ROOT = Path(__file__).resolve().parents[3]


@pytest.fixture
def books(transactional_db: None) -> None:
    fill_books()


def fill_books() -> None:
    """Books with a row of each kind that is easily lost: text with marks, JSON, a file, a many-to-many row, a chain."""
    BusinessProfileFactory(legal_name='Tindra „Küche“ Aldermoor, O\'Dell; "x"')
    UserFactory()
    words = {"name": "Ivo", "house": "Aldermoor", "role": "assistant", "link": a_link(), "last_on": EARLY.date()}
    paper = kept_file(b"%PDF-1.7 a paper in the backup", name="Estimate E-2026-047.pdf", kind="estimate")
    queue_mail(
        to="ivo@lantern.example",
        template="invite",
        language="en",
        context=words,
        at=EARLY,
        about="user:2",
        attachments=[paper],
    )
    with transaction.atomic():
        record_evidence("signed", subject="release:7", payload={"note": "Küche", "list": [1, None, True]}, at=EARLY)


def all_rows(path: str | Path) -> dict[str, list[tuple[Any, ...]]]:
    """Every row of every table of a database file, sorted: what a restore must bring back."""
    with closing(sqlite3.connect(path)) as line:
        tables = [
            row[0]
            for row in line.execute(
                "SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite_stat%'"
            )
        ]
        return {table: sorted(line.execute(f'SELECT * FROM "{table}"').fetchall(), key=repr) for table in tables}  # noqa: S608


def triggers(path: str | Path) -> set[str]:
    with closing(sqlite3.connect(path)) as line:
        return {row[0] for row in line.execute("SELECT sql FROM sqlite_master WHERE type = 'trigger'")}


def command(folder: Path, *words: str) -> subprocess.CompletedProcess[str]:
    environment = {**os.environ, "PLATE_LEDGER_DATA": str(folder), "DJANGO_SETTINGS_MODULE": "studio.settings"}
    environment.pop("DATABASE_URL", None)
    return subprocess.run(
        [sys.executable, "-m", "django", *words], cwd=ROOT, env=environment, capture_output=True, text=True, check=False
    )


@pytest.mark.usefixtures("books")
def test_a_restore_brings_back_every_table_row_for_row_and_every_file(tmp_path: Path) -> None:
    made = make_backup(tmp_path / "books.zip", at=EARLY)
    assert made.files == StoredFile.objects.values("sha256").distinct().count()
    assert not made.missing
    folder = tmp_path / "new books"
    done = command(folder, "restore", str(made.path))
    assert done.returncode == 0, done.stderr
    before, after = connection.settings_dict["NAME"], folder / "ledger.sqlite3"
    assert all_rows(after) == all_rows(before)
    assert triggers(after) == triggers(before)
    assert triggers(before)
    paper = StoredFile.objects.get(kind="estimate")
    assert (folder / "files" / paper.path.relative_to(settings.FILES_FOLDER)).read_bytes() == paper.read_bytes()
    checked = command(folder, "check_books")
    assert checked.returncode == 0
    assert "The evidence chain is whole" in checked.stdout
    again = command(folder, "restore", str(made.path))
    assert again.returncode == 1
    assert "There are books in" in again.stderr


@pytest.mark.usefixtures("books")
def test_books_that_hold_only_what_migrate_put_there_are_empty(tmp_path: Path) -> None:
    made, folder = make_backup(tmp_path / "books.zip", at=EARLY), tmp_path / "new books"
    assert command(folder, "migrate", "-v0").returncode == 0
    assert any(all_rows(folder / "ledger.sqlite3")[table] for table in FILLED_BY_MIGRATE)
    done = command(folder, "restore", str(made.path))
    assert done.returncode == 0, done.stderr
    assert all_rows(folder / "ledger.sqlite3") == all_rows(connection.settings_dict["NAME"])


@pytest.mark.usefixtures("books")
def test_a_backup_can_be_made_while_others_write(tmp_path: Path) -> None:
    stop, wrong = threading.Event(), []

    def write() -> None:
        try:
            while not stop.is_set():
                record_evidence("downloaded", subject="delivery:1", payload={}, at=EARLY)
        except Exception as problem:
            wrong.append(problem)
        finally:
            connection.close()

    writers = [threading.Thread(target=write) for _ in range(2)]
    [each.start() for each in writers]
    made = make_backup(tmp_path / "books.zip", at=EARLY)
    stop.set()
    [each.join() for each in writers]
    assert not wrong
    with zipfile.ZipFile(made.path) as archive:
        archive.extract("database.sqlite3", tmp_path)
        manifest = json.loads(archive.read("manifest.json"))
    with closing(sqlite3.connect(tmp_path / "database.sqlite3")) as line:
        assert line.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        last = line.execute("SELECT seq, hash FROM shared_evidence ORDER BY seq DESC LIMIT 1").fetchone()
    assert last == (manifest["evidence_seq"], manifest["evidence_hash"])


@pytest.mark.usefixtures("books")
def test_a_changed_backup_restores_nothing(tmp_path: Path) -> None:
    made, bad = make_backup(tmp_path / "books.zip", at=EARLY), tmp_path / "bad.zip"
    whole = made.path.read_bytes()
    place = whole.index(b"a paper in the backup")
    bad.write_bytes(whole[:place] + b"A" + whole[place + 1 :])
    done = command(tmp_path / "new", "restore", str(bad))
    assert done.returncode == 1
    assert "cannot be used" in done.stderr
    assert "Nothing was restored" in done.stderr
    assert not list((tmp_path / "new").rglob("files/*/*/*"))


@pytest.mark.usefixtures("books")
def test_a_missing_file_is_reported_and_the_rest_is_in_the_backup(tmp_path: Path) -> None:
    paper = StoredFile.objects.get(kind="estimate")
    paper.path.unlink()
    made = make_backup(tmp_path / "books.zip", at=EARLY)
    assert made.missing == (paper.sha256,)
    assert [finding.is_well for finding in check_findings()].count(False) == 1


@pytest.mark.usefixtures("books")
def test_books_with_rows_are_never_overwritten(tmp_path: Path) -> None:
    made = make_backup(tmp_path / "books.zip", at=EARLY)
    with pytest.raises(BooksNotEmpty):
        restore_backup(made.path)
    with pytest.raises(BackupDamaged, match="not there"):
        restore_backup(tmp_path / "no.zip")


@pytest.mark.usefixtures("books")
def test_the_export_has_every_row_of_every_table_and_every_file(tmp_path: Path) -> None:
    made = export_books(tmp_path / "export.zip", at=EARLY)
    with zipfile.ZipFile(made.path) as archive:
        names, everything = archive.namelist(), json.loads(archive.read("tables.json"))
        told = archive.read("READ ME.txt").decode()
        profile = list(
            csv.DictReader(io.StringIO(archive.read("tables/shared_businessprofile.csv").decode("utf-8-sig")))
        )
        people = archive.read("tables/shared_user.csv").decode()
    paper = StoredFile.objects.get(kind="estimate")
    assert f"files/estimate/{paper.pk}/Estimate E-2026-047.pdf" in names
    assert profile[0]["legal_name"] == 'Tindra „Küche“ Aldermoor, O\'Dell; "x"'
    assert everything["shared_evidence"][0]["payload"] == {"note": "Küche", "list": [1, None, True]}
    assert "password" not in people
    assert "shared_evidence: 1 rows. One link of the evidence chain." in told
    counted = {table for table in raw_tables() if not table.startswith(("django_", "auth_"))}
    assert {name[7:-4] for name in names if name.startswith("tables/")} == {*counted} - {"sqlite_sequence"}


def rows_of_the_database() -> dict[str, list[str]]:
    with connection.cursor() as cursor:
        found = {}
        for table in raw_tables():
            cursor.execute(f'SELECT * FROM "{table}"')  # noqa: S608
            found[table] = sorted(repr(row) for row in cursor.fetchall())
    return found


@pytest.mark.both
@pytest.mark.usefixtures("books")
def test_a_restore_on_either_database_brings_back_every_row(tmp_path: Path) -> None:
    """Here into the same, emptied database, which on PostgreSQL is the only one there is."""
    call_command("migrate", verbosity=0, interactive=False)  # Django's own lists, which emptying after a test took away
    before, made = rows_of_the_database(), make_backup(tmp_path / "books.zip", at=EARLY)
    call_command("flush", verbosity=0, interactive=False)
    assert rows_of_the_database() != before
    assert restore_backup(made.path, say=lambda words: None) == made.files
    assert rows_of_the_database() == before
    assert UserFactory().pk not in (None, 1)  # the counters of keys came back too
    assert record_evidence("shown", subject="release:8", payload={}, at=EARLY).seq == 2


def rebuilt(source: Path, target: Path, change: Callable[[str, bytes], bytes], **added: bytes) -> Path:
    """A backup with changed or added parts and a list that fits them: what a clever stranger would hand in."""
    with zipfile.ZipFile(source) as old, zipfile.ZipFile(target, "w") as new:
        manifest = json.loads(old.read("manifest.json"))
        parts = {name: change(name, old.read(name)) for name in manifest["parts"]} | added
        for name, data in parts.items():
            new.writestr(name, data)
        manifest["parts"] = {
            name: {"sha256": hashlib.sha256(data).hexdigest(), "size": len(data)} for name, data in parts.items()
        }
        new.writestr("manifest.json", json.dumps(manifest))
    return target


def as_it_is(name: str, data: bytes) -> bytes:
    return data


@pytest.mark.usefixtures("books")
def test_a_name_in_a_backup_never_leads_out_of_the_folder_of_files(tmp_path: Path) -> None:
    made, aim = make_backup(tmp_path / "books.zip", at=EARLY), tmp_path / "written.txt"
    # The folders of a kept file are the first letters of its name; these two climb to the root.
    bad = rebuilt(made.path, tmp_path / "bad.zip", as_it_is, **{f"files/../..{aim}": b"written from outside"})
    done = command(tmp_path / "new", "restore", str(bad))
    assert done.returncode == 1
    assert "is no name of a kept file" in done.stderr
    assert not aim.exists()
    assert not (tmp_path / "new" / "ledger.sqlite3").exists()


@pytest.mark.usefixtures("books")
def test_a_file_under_the_name_of_another_is_refused(tmp_path: Path) -> None:
    made = make_backup(tmp_path / "books.zip", at=EARLY)
    bad = rebuilt(made.path, tmp_path / "bad.zip", as_it_is, **{f"files/{'ab' * 32}": b"another paper"})
    done = command(tmp_path / "new", "restore", str(bad))
    assert done.returncode == 1
    assert "holds another file than its name says" in done.stderr


@pytest.mark.usefixtures("books")
def test_a_backup_larger_than_the_room_on_the_disk_is_refused_before_anything_is_written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    made = make_backup(tmp_path / "books.zip", at=EARLY)
    call_command("flush", verbosity=0, interactive=False)
    monkeypatch.setattr(shutil, "disk_usage", lambda path: shutil._ntuple_diskusage(9, 8, 1))
    with pytest.raises(NoRoomToRestore, match="has no room for this backup"):
        restore_backup(made.path, say=lambda words: None)


@pytest.mark.usefixtures("books")
def test_a_backup_without_a_readable_database_is_refused(tmp_path: Path) -> None:
    made = make_backup(tmp_path / "books.zip", at=EARLY)
    call_command("flush", verbosity=0, interactive=False)
    with closing(sqlite3.connect(":memory:")) as line:
        line.execute("CREATE TABLE notes (words)")
        of_something_else = line.serialize()
    for database in (b"no database", b"", b"SQLite format 3\0 and then nothing", of_something_else):

        def changed(name: str, data: bytes, database: bytes = database) -> bytes:
            return database if name == "database.sqlite3" else data

        with pytest.raises(BackupDamaged, match="its database cannot be read"):
            restore_backup(rebuilt(made.path, tmp_path / "bad.zip", changed), say=lambda words: None)
    with zipfile.ZipFile(tmp_path / "none.zip", "w") as archive:
        manifest = {"format": "plate-ledger backup 1", "database": "sqlite", "parts": {}}
        archive.writestr("manifest.json", json.dumps(manifest))
    with pytest.raises(BackupDamaged, match="the database is not in it"):
        restore_backup(tmp_path / "none.zip", say=lambda words: None)


@pytest.mark.both
@pytest.mark.usefixtures("books")
def test_a_backup_of_a_newer_program_is_refused_and_nothing_is_restored(tmp_path: Path) -> None:
    steps = MigrationRecorder.Migration.objects
    later = steps.create(app="billing", name="0099_a_later_step")
    made = make_backup(tmp_path / "books.zip", at=EARLY)
    call_command("flush", verbosity=0, interactive=False)
    later.delete()
    before = rows_of_the_database()
    with pytest.raises(BackupNewer) as refusal:
        restore_backup(made.path, say=lambda words: None)
    assert "made by a newer program than this one" in str(refusal.value)
    assert "billing 0099_a_later_step" in str(refusal.value)
    assert rows_of_the_database() == before


@pytest.mark.usefixtures("transactional_db")
def test_an_older_sqlite_backup_is_restored_and_brought_to_the_form_of_today(tmp_path: Path) -> None:
    old, new = tmp_path / "old", tmp_path / "new"
    for words in (("migrate", "-v0", "shared", "0001_initial"), ("backup", str(tmp_path / "old.zip"))):
        done = command(old, *words)
        assert done.returncode == 0, done.stderr
    done = command(new, "restore", str(tmp_path / "old.zip"))
    assert done.returncode == 0, done.stderr
    today = Path(connection.settings_dict["NAME"])
    assert triggers(new / "ledger.sqlite3") == triggers(today)
    assert columns(new / "ledger.sqlite3") == columns(today)
    assert columns(old / "ledger.sqlite3") != columns(today)


def columns(path: Path) -> dict[str, set[str]]:
    with closing(sqlite3.connect(path)) as line:
        return {
            table: {row[1] for row in line.execute(f'PRAGMA table_info("{table}")')}
            for table in sorted(all_rows(path))
            if not table.startswith("sqlite_")
        }


@pytest.mark.both
@pytest.mark.usefixtures("transactional_db")
def test_an_older_postgresql_backup_is_restored_and_brought_to_the_form_of_today(tmp_path: Path) -> None:
    if connection.vendor == "sqlite":
        pytest.skip("SQLite keeps the whole file: the test above")
    form, call = postgresql_form(), functools.partial(call_command, verbosity=0, interactive=False)
    try:
        with connection.cursor() as cursor:
            cursor.execute("DROP SCHEMA public CASCADE")
            cursor.execute("CREATE SCHEMA public")
            cursor.execute("CREATE TABLE guestbook AS SELECT 'Maro' AS guest")  # of another program
        call("migrate", "billing", "0001_initial")
        for app in ("auth", "contenttypes", "sessions", "shared"):
            call("migrate", app)
        assert postgresql_form() != form
        fill_books()
        before, made = rows_of_the_database(), make_backup(tmp_path / "old.zip", at=EARLY)
        call("migrate")
        call("flush")
        assert restore_backup(made.path, say=lambda words: None) == made.files
        after = rows_of_the_database()
        assert after.pop("guestbook") == before.pop("guestbook") != []
        with connection.cursor() as cursor:
            cursor.execute("DROP TABLE guestbook")
        assert postgresql_form() == form
    finally:
        call("migrate")
    theirs = ("django_migrations", "django_content_type", "auth_permission")  # these grow with the steps
    assert {table: rows for table, rows in before.items() if table not in theirs} == {
        table: after[table] for table in before if table not in theirs
    }
    assert set(before["django_migrations"]) < set(after["django_migrations"])
    assert UserFactory().pk not in (None, 1)


def postgresql_form() -> tuple[set[tuple[str, ...]], ...]:
    """Columns, constraints and triggers of the tables."""
    asked = (
        "SELECT table_name, column_name, data_type, is_nullable FROM information_schema.columns WHERE table_schema = 'public'",
        "SELECT conrelid::regclass::text, pg_get_constraintdef(oid) FROM pg_constraint WHERE connamespace = 'public'::regnamespace",
        "SELECT pg_get_triggerdef(oid) FROM pg_trigger WHERE NOT tgisinternal",
    )
    with connection.cursor() as cursor:
        found = []
        for question in asked:
            cursor.execute(question)
            found.append(set(cursor.fetchall()))
    return tuple(found)


@pytest.mark.both
@pytest.mark.usefixtures("books")
def test_a_postgresql_backup_with_columns_its_program_did_not_have_loses_none_of_them(tmp_path: Path) -> None:
    if connection.vendor == "sqlite":
        pytest.skip("SQLite keeps the whole file")
    made = make_backup(tmp_path / "books.zip", at=EARLY)
    call_command("flush", verbosity=0, interactive=False)

    def with_a_column(name: str, data: bytes) -> bytes:
        old, new = b'{\\"id\\":', b'{\\"mark\\":1,\\"id\\":'
        return data.replace(old, new) if name == "rows.jsonl" else data

    bad = rebuilt(made.path, tmp_path / "bad.zip", with_a_column)
    with pytest.raises(BackupDamaged, match="has other columns than"):
        restore_backup(bad, say=lambda words: None)
    assert not StoredFile.objects.exists()
