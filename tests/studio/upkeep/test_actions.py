import csv
import io
import json
import os
import sqlite3
import subprocess
import sys
import threading
import zipfile
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from django.conf import settings
from django.core.management import call_command
from django.db import connection, transaction

from shared.evidence.actions import record_evidence
from shared.files.models import StoredFile
from shared.outbox.actions import queue_mail
from studio.upkeep.actions import BooksNotEmpty, export_books, make_backup, restore_backup
from studio.upkeep.archive import BackupDamaged
from studio.upkeep.queries import check_findings
from studio.upkeep.tables import raw_tables
from tests.factories.shared import EARLY, BusinessProfileFactory, UserFactory, kept_file
from tests.shared.outbox.test_actions import a_link

ROOT = Path(__file__).resolve().parents[3]


@pytest.fixture
def books(transactional_db: None) -> None:
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
