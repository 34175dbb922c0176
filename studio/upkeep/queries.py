import hashlib
import sqlite3
from contextlib import closing
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from django.conf import settings
from django.db import connection

from shared.evidence.queries import evidence_head, first_broken_link, is_head_kept
from shared.files.models import StoredFile
from shared.papers.kept import digest_of
from shoots.licences.models import LicencePaper
from shoots.licences.queries import licences_with_other_boxes
from shoots.uses.models import TreeVersion
from shoots.uses.queries import trees_of_the_books


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing that was looked at: is it well, and in a sentence how it stands."""

    is_well: bool
    sentence: str


def check_findings() -> list[Finding]:
    """Looks at the evidence chain, at every kept file byte by byte, and at the database itself and at what is derived in it."""
    return [_chain(), *_files(), _trees(), _database(), _boxes()]


def backups_folder() -> Path:
    return Path(settings.DATA_FOLDER) / "backups"


def backup_files() -> list[tuple[Path, datetime, int]]:
    """Backups kept in the data folder, the newest first: path, when, size."""
    found = [(path, path.stat()) for path in backups_folder().glob("*.zip")]
    return sorted(
        ((path, datetime.fromtimestamp(stat.st_mtime, UTC), stat.st_size) for path, stat in found),
        key=lambda each: each[1],
        reverse=True,
    )


def _chain() -> Finding:
    broken, (seq, _) = first_broken_link(), evidence_head()
    if broken is not None:
        return Finding(
            False, f"The evidence chain is broken at row {broken}: it was changed or removed outside this program."
        )
    for paper in LicencePaper.objects.select_related("licence").order_by("pk").iterator():
        printed = paper.snapshot["head_seq"]
        if not is_head_kept(seq=printed, hash_start=paper.snapshot["head_hash"][:16]):
            return Finding(
                False,
                f"The paper of licence {paper} names row {printed} of the evidence log, which is no longer there: "
                "the log was cut short or replaced outside this program.",
            )
    return Finding(True, f"The evidence chain is whole: {seq} rows.")


def _trees() -> Finding:
    changed = [row.name for row in TreeVersion.objects.iterator() if digest_of(row.nodes) != row.sha256]
    if changed:
        return Finding(False, f"Media and places {', '.join(changed)} were changed outside this program.")
    return Finding(True, "Media and places are as they were kept.")


def _boxes() -> Finding:
    with trees_of_the_books():
        other = licences_with_other_boxes()
    if other:
        numbers = ", ".join(licence.number for licence in other[:3]) + (" and more" if len(other) > 3 else "")
        return Finding(
            False,
            f"The derived rows of {numbers} differ from what the licence says. Nothing of the licence is lost: "
            "`manage.py check_books --rebuild` writes them anew.",
        )
    return Finding(True, "The derived rows of the licences are those of their codes.")


def _files() -> list[Finding]:
    found, well = [], 0
    for sha256, name in StoredFile.objects.order_by("sha256").values_list("sha256", "name").distinct():
        path = StoredFile(sha256=sha256).path
        if not path.exists():
            found.append(Finding(False, f"The file “{name}” is missing on the disk ({sha256[:16]})."))
        elif _sha256_of(path) != sha256:
            found.append(Finding(False, f"The file “{name}” was changed on the disk ({sha256[:16]})."))
        else:
            well += 1
    return found or [Finding(True, f"All {well} files are as they were kept.")]


def _sha256_of(path: Path) -> str:
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def _database() -> Finding:
    if connection.vendor != "sqlite":
        return Finding(True, "The database checks itself.")
    with closing(sqlite3.connect(settings.DATABASES["default"]["NAME"], timeout=20)) as line:
        said = line.execute("PRAGMA integrity_check").fetchone()[0]
    return Finding(
        said == "ok",
        "The database is whole."
        if said == "ok"
        else f"The database is damaged: {said}. Restore the last backup into a new folder.",
    )
