import io
import zipfile
from pathlib import Path

import pytest

from studio.upkeep.archive import ArchiveWriter, BackupDamaged, check_parts, read_manifest


def an_archive(tmp_path: Path) -> Path:
    target = tmp_path / "books.zip"
    (tmp_path / "paper").write_bytes(b"%PDF-1.7 a paper")
    with zipfile.ZipFile(target, "w") as archive:
        writer = ArchiveWriter(archive)
        writer.add_bytes("note.txt", b"a note")
        writer.add_file("files/paper", tmp_path / "paper")
        writer.close({"made_at": "2026-11-12"})
    return target


def with_part(source: Path, name: str, content: bytes | None) -> zipfile.ZipFile:
    """The archive with one part changed, added or (None) left out."""
    out = io.BytesIO()
    with zipfile.ZipFile(source) as old, zipfile.ZipFile(out, "w") as new:
        for each in old.namelist():
            if each != name:
                new.writestr(each, old.read(each))
        if content is not None:
            new.writestr(name, content)
    return zipfile.ZipFile(out)


def test_a_whole_archive_fits_its_list(tmp_path: Path) -> None:
    with zipfile.ZipFile(an_archive(tmp_path)) as archive:
        manifest = read_manifest(archive)
        check_parts(archive, manifest)
    assert manifest["made_at"] == "2026-11-12"
    assert manifest["parts"]["note.txt"]["size"] == 6


@pytest.mark.parametrize(
    ("name", "content", "sentence"),
    [
        ("note.txt", b"another note", "“note.txt” was changed"),
        ("files/paper", None, "“files/paper” is missing"),
        ("files/more", b"x", "“files/more” is not on its list"),
    ],
)
def test_what_was_changed_removed_or_added_is_named(
    tmp_path: Path, name: str, content: bytes | None, sentence: str
) -> None:
    archive = with_part(an_archive(tmp_path), name, content)
    with pytest.raises(BackupDamaged, match=sentence):
        check_parts(archive, read_manifest(archive))


def test_a_zip_of_something_else_is_refused(tmp_path: Path) -> None:
    for content in (None, b"no json", b'{"format": "another"}'):
        with pytest.raises(BackupDamaged):
            read_manifest(with_part(an_archive(tmp_path), "manifest.json", content))
