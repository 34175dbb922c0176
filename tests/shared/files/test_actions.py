import errno
import os
from pathlib import Path
from typing import Any

import pytest

from shared.files.actions import (
    PAPERS,
    RECEIPTS,
    DiskFull,
    FileEmpty,
    FileTooLarge,
    FileTypeRefused,
    keep_file,
    write_whole,
)
from shared.files.models import StoredFile
from tests.factories.shared import EARLY, kept_file

pytestmark = pytest.mark.django_db
PDF = b"%PDF-1.7 a receipt"


def test_a_file_is_kept_under_its_hash_and_twice_the_same_bytes_are_one_file() -> None:
    first, second = kept_file(PDF, name="a.pdf"), kept_file(PDF, name="b.pdf")
    assert first.read_bytes() == PDF
    assert first.path == second.path
    assert first.pk != second.pk
    assert (first.media_type, first.size, first.path.name) == ("application/pdf", 18, first.sha256)
    assert oct(first.path.stat().st_mode)[-3:] == "600"


def test_the_bytes_decide_what_a_file_is_and_not_its_name() -> None:
    with pytest.raises(FileTypeRefused, match="inside it is text") as told:
        keep_file(b"hello", name="receipt.pdf", kind="receipt", at=EARLY, accepts=RECEIPTS)
    assert "JPEG or PDF or PNG" in str(told.value)
    assert not StoredFile.objects.exists()
    assert keep_file(PDF, name="receipt.txt", kind="receipt", at=EARLY, accepts=PAPERS).media_type == "application/pdf"


def test_an_empty_and_a_too_large_file_are_not_kept(settings: Any) -> None:
    settings.LARGEST_UPLOAD = 1024
    with pytest.raises(FileEmpty):
        keep_file(b"", name="receipt.pdf", kind="receipt", at=EARLY, accepts=RECEIPTS)
    with pytest.raises(FileTooLarge, match="one file may have"):
        keep_file(PDF + bytes(1024), name="receipt.pdf", kind="receipt", at=EARLY, accepts=RECEIPTS)


def test_a_full_disk_leaves_no_row_and_no_half_file(monkeypatch: Any, settings: Any) -> None:
    def full(_: int) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(DiskFull, match="The disk is full"):
        kept_file(b"%PDF-1.7 never kept", name="late.pdf")
    assert not StoredFile.objects.exists()
    assert not [path for path in Path(settings.FILES_FOLDER).rglob(".*") if path.is_file()]


def test_a_name_with_a_path_keeps_only_its_last_part() -> None:
    assert kept_file(name="../../etc/passwd").name == "passwd"
    assert kept_file(name="C:\\scans\\receipt.pdf").name == "receipt.pdf"


def test_a_file_that_was_cut_off_on_the_disk_is_written_again(tmp_path: Any) -> None:
    path = tmp_path / "file"
    path.write_bytes(b"half")
    write_whole(path, b"whole file")
    assert path.read_bytes() == b"whole file"
