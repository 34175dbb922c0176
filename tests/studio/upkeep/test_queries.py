import os
from pathlib import Path
from typing import Any

import pytest
from django.db import connection

from shared.evidence.models import Evidence, EvidenceHead
from shared.evidence.queries import first_broken_link
from shoots.licences.actions import keep_licence_paper
from studio.upkeep.queries import backup_files, backups_folder, check_findings
from tests.factories.licences import AT, granted
from tests.factories.shared import kept_file

pytestmark = pytest.mark.django_db


def test_whole_books_are_told_whole() -> None:
    kept_file()
    assert [finding.is_well for finding in check_findings()] == [True] * 5


def test_a_changed_file_and_a_cut_chain_are_named() -> None:
    file = kept_file(b"%PDF-1.7 soon changed", name="Estimate.pdf")
    file.path.write_bytes(b"%PDF-1.7 was  changed")
    EvidenceHead.objects.update_or_create(pk=1, defaults={"seq": 3, "hash": "ab" * 32})
    told = " ".join(finding.sentence for finding in check_findings() if not finding.is_well)
    assert "“Estimate.pdf” was changed on the disk" in told
    assert "broken at row 1" in told
    file.path.unlink()


def test_a_log_cut_short_behind_a_printed_paper_is_found_by_that_paper() -> None:
    keep_licence_paper(granted(), at=AT)
    assert check_findings()[0].is_well
    printed = Evidence.objects.get(kind="issued").seq - 1
    cut_to = Evidence.objects.get(seq=printed - 1)
    as_owner_of_the_file_might("DELETE FROM shared_evidence WHERE seq >= %s", printed)
    EvidenceHead.objects.update(seq=cut_to.seq, hash=cut_to.hash)
    assert first_broken_link() is None
    found = check_findings()[0]
    assert not found.is_well
    assert f"names row {printed} of the evidence log, which is no longer there" in found.sentence


def as_owner_of_the_file_might(sql: str, seq: int) -> None:
    """Past the triggers, as with a tool of the database: they come back with the end of the test."""
    with connection.cursor() as cursor:
        cursor.execute("DROP TRIGGER shared_evidence_keeps_delete")
        cursor.execute(sql, [seq])


def test_backups_are_listed_newest_first(settings: Any, tmp_path: Path) -> None:
    settings.DATA_FOLDER = tmp_path
    assert backup_files() == []
    backups_folder().mkdir()
    for name, seconds in (("old.zip", 1_000), ("new.zip", 2_000)):
        (backups_folder() / name).write_bytes(b"x")
        os.utime(backups_folder() / name, (seconds, seconds))
    assert [path.name for path, _, _ in backup_files()] == ["new.zip", "old.zip"]


def test_numbers_of_a_licence_that_are_not_those_of_its_codes_are_found() -> None:
    licence = granted(fee_net=0)
    assert all(finding.is_well for finding in check_findings())
    licence.boxes.update(medium_hi=900)
    told = [finding.sentence for finding in check_findings() if not finding.is_well]
    assert len(told) == 1
    assert licence.number in told[0]


def test_a_tree_changed_outside_the_program_is_named() -> None:
    granted()
    with connection.cursor() as cursor:
        cursor.execute("DROP TRIGGER shoots_treeversion_keeps_update")
        cursor.execute("UPDATE shoots_treeversion SET sha256 = 'x' WHERE name = 'media-1'")
    assert "Media and places media-1 were changed" in " ".join(found.sentence for found in check_findings())
