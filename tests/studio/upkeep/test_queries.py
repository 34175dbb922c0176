import os
from pathlib import Path
from typing import Any

import pytest

from shared.evidence.models import EvidenceHead
from studio.upkeep.queries import backup_files, backups_folder, check_findings
from tests.factories.shared import kept_file

pytestmark = pytest.mark.django_db


def test_whole_books_are_told_whole() -> None:
    kept_file()
    assert [finding.is_well for finding in check_findings()] == [True, True, True]


def test_a_changed_file_and_a_cut_chain_are_named() -> None:
    file = kept_file(b"%PDF-1.7 soon changed", name="Estimate.pdf")
    file.path.write_bytes(b"%PDF-1.7 was  changed")
    EvidenceHead.objects.update_or_create(pk=1, defaults={"seq": 3, "hash": "ab" * 32})
    told = " ".join(finding.sentence for finding in check_findings() if not finding.is_well)
    assert "“Estimate.pdf” was changed on the disk" in told
    assert "broken at row 1" in told
    file.path.unlink()


def test_backups_are_listed_newest_first(settings: Any, tmp_path: Path) -> None:
    settings.DATA_FOLDER = tmp_path
    assert backup_files() == []
    backups_folder().mkdir()
    for name, seconds in (("old.zip", 1_000), ("new.zip", 2_000)):
        (backups_folder() / name).write_bytes(b"x")
        os.utime(backups_folder() / name, (seconds, seconds))
    assert [path.name for path, _, _ in backup_files()] == ["new.zip", "old.zip"]
