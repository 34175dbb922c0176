import hashlib
import io
import json
import zipfile
from pathlib import Path

import pytest

from studio.upkeep.archive import ArchiveWriter, BackupDamaged, check_parts, kept_files, open_archive, read_manifest


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
    ours = b'{"format": "plate-ledger backup 1", "parts": %s}'
    strange = [ours % parts for parts in (b"[]", b'{"a": 1}', b'{"a": {"sha256": 1, "size": 1}}', b'{"a": {}}')]
    for content in (None, b"no json", b'{"format": "another"}', b"[]", b"[" * 100_000, ours, *strange):
        with pytest.raises(BackupDamaged):
            read_manifest(with_part(an_archive(tmp_path), "manifest.json", content))


A_FILE = hashlib.sha256(b"a file").hexdigest()


@pytest.mark.parametrize(
    "name",
    [
        "files/../../../etc/cron.d/mine",
        f"files/{A_FILE}/../../x",
        f"files//{A_FILE}",
        f"files/{A_FILE.upper()}",
        f"files/{A_FILE}\n",
        "files/paper",
        "files/",
    ],
)
def test_a_file_whose_name_could_lead_elsewhere_is_refused(name: str) -> None:
    with pytest.raises(BackupDamaged, match="is no name of a kept file"):
        kept_files({"parts": {name: {"sha256": A_FILE, "size": 6}}})


def test_a_kept_file_is_named_by_its_own_bytes() -> None:
    said = {"sha256": A_FILE, "size": 6}
    assert kept_files({"parts": {"READ ME.txt": said, f"files/{A_FILE}": said}}) == [A_FILE]
    with pytest.raises(BackupDamaged, match="holds another file than its name says"):
        kept_files({"parts": {f"files/{'ab' * 32}": said}})


@pytest.mark.filterwarnings("ignore:Duplicate name")
def test_a_part_that_is_in_it_twice_is_refused(tmp_path: Path) -> None:
    path = an_archive(tmp_path)
    with zipfile.ZipFile(path, "a") as archive:
        archive.writestr("note.txt", b"another note")
    with zipfile.ZipFile(path) as archive, pytest.raises(BackupDamaged, match=r"“note\.txt” is in it twice"):
        check_parts(archive, read_manifest(archive))


def test_a_part_of_another_size_is_refused_before_it_is_unpacked(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    archive = with_part(an_archive(tmp_path), "files/paper", bytes(5_000_000))
    manifest = read_manifest(archive)
    monkeypatch.setattr(archive, "open", lambda name: pytest.fail(f"{name} was unpacked"))
    with pytest.raises(BackupDamaged, match="“files/paper” was changed"):
        check_parts(archive, manifest)


def packed(tmp_path: Path, method: int, content: bytes = b"a note, " * 100) -> bytes:
    """An archive whose first part is packed by ``method`` of the ZIP standard."""
    target = tmp_path / f"{method}.zip"
    with zipfile.ZipFile(target, "w", method) as archive:
        ArchiveWriter(archive).add_bytes("note.txt", content)
        said = {"note.txt": {"sha256": hashlib.sha256(content).hexdigest(), "size": len(content)}}
        archive.writestr("manifest.json", json.dumps({"format": "plate-ledger backup 1", "parts": said}))
    return target.read_bytes()


@pytest.mark.parametrize("method", [zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED, zipfile.ZIP_BZIP2, zipfile.ZIP_LZMA])
def test_a_byte_that_was_changed_anywhere_is_said_and_never_an_error_of_python(tmp_path: Path, method: int) -> None:
    whole = packed(tmp_path, method)
    found, changed = 0, tmp_path / "changed.zip"
    for place in range(0, len(whole), 3):
        changed.write_bytes(whole[:place] + bytes([whole[place] ^ 0x55]) + whole[place + 1 :])
        try:
            with open_archive(changed) as archive:
                check_parts(archive, read_manifest(archive))
        except BackupDamaged:
            found += 1
    assert found > len(whole) / 6


def test_a_file_that_was_cut_off_is_refused(tmp_path: Path) -> None:
    whole, cut = an_archive(tmp_path).read_bytes(), tmp_path / "cut.zip"
    for length in range(0, len(whole), 7):
        cut.write_bytes(whole[:length])
        with pytest.raises(BackupDamaged):
            open_archive(cut)
    with pytest.raises(BackupDamaged, match="it is not there"):
        open_archive(tmp_path / "none.zip")
