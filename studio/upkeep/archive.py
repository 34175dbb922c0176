"""The file a backup is: a ZIP with a list of everything in it and the SHA-256 of each part. Nothing here knows Django."""

import hashlib
import json
import lzma
import re
import struct
import zipfile
import zlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from itertools import pairwise
from pathlib import Path
from typing import Any, BinaryIO

from shared.errors import Refusal

MANIFEST = "manifest.json"
FORMAT = "plate-ledger backup 1"
CHUNK = 1024 * 1024
LARGEST_MANIFEST = 256 * 1024 * 1024  # a part takes about 250 bytes of it
KEPT_FILE = re.compile(r"files/([0-9a-f]{64})")
# What zipfile raises over bytes that are cut off, changed, encrypted, or packed in a way it does not know.
UNREADABLE = (
    zipfile.BadZipFile,
    EOFError,
    OSError,
    ValueError,
    NotImplementedError,
    RuntimeError,
    zlib.error,
    struct.error,
    lzma.LZMAError,
)


class BackupDamaged(Refusal):
    """A file that is no backup of ours, or of which a part is missing or changed."""

    def __init__(self, why: str) -> None:
        super().__init__(f"This backup cannot be used: {why}", "Nothing was restored.", "Take another backup file.")


@dataclass(slots=True)
class ArchiveWriter:
    """Writes parts one by one and the list of them last."""

    zip: zipfile.ZipFile
    parts: dict[str, dict[str, Any]] = field(default_factory=dict)

    def add_bytes(self, name: str, content: bytes) -> None:
        self.zip.writestr(name, content)
        self.parts[name] = {"sha256": hashlib.sha256(content).hexdigest(), "size": len(content)}

    def add_file(self, name: str, path: Path) -> str:
        """Adds the file at ``path`` and returns its SHA-256, reckoned from the very bytes that were written."""
        digest, size = hashlib.sha256(), 0
        info = zipfile.ZipInfo.from_file(path, name)
        info.compress_type = self.zip.compression
        with path.open("rb") as source, self.zip.open(info, "w", force_zip64=True) as target:
            while chunk := source.read(CHUNK):
                digest.update(chunk)
                size += len(chunk)
                target.write(chunk)
        self.parts[name] = {"sha256": digest.hexdigest(), "size": size}
        return digest.hexdigest()

    def close(self, facts: Mapping[str, Any]) -> None:
        manifest = {"format": FORMAT, **facts, "parts": self.parts}
        self.zip.writestr(MANIFEST, json.dumps(manifest, indent=1, sort_keys=True))


def open_archive(path: Path) -> zipfile.ZipFile:
    """A file as an archive. Raises ``BackupDamaged``."""
    try:
        return zipfile.ZipFile(path)
    except UNREADABLE:
        raise BackupDamaged("it is not there, or no ZIP file.") from None


def read_manifest(archive: zipfile.ZipFile) -> dict[str, Any]:
    """The list of a backup. Raises ``BackupDamaged``."""
    try:
        if archive.getinfo(MANIFEST).file_size > LARGEST_MANIFEST:
            raise BackupDamaged("the list of its parts is longer than any of ours.")
        manifest = json.loads(archive.read(MANIFEST))
    except (KeyError, RecursionError, *UNREADABLE):
        raise BackupDamaged("it has no readable list of its parts.") from None
    if (
        not isinstance(manifest, dict)
        or manifest.get("format") != FORMAT
        or not _is_list_of_parts(manifest.get("parts"))
    ):
        raise BackupDamaged("it was made by something else.")
    return manifest


def _is_list_of_parts(parts: Any) -> bool:
    return isinstance(parts, dict) and all(
        isinstance(said, dict) and isinstance(said.get("sha256"), str) and isinstance(said.get("size"), int)
        for said in parts.values()
    )


def kept_files(manifest: Mapping[str, Any]) -> list[str]:
    """The SHA-256 of every kept file in a backup, which is its name. Raises ``BackupDamaged`` for a name that is another.

    A name becomes a path on the disk: anything but 64 digits could lead out of the folder of files.
    """
    found = []
    for name, said in manifest["parts"].items():
        if name.startswith("files/"):
            match = KEPT_FILE.fullmatch(name)
            if match is None:
                raise BackupDamaged(f"“{name}” is no name of a kept file.")
            if said["sha256"] != match[1]:
                raise BackupDamaged(f"“{name}” holds another file than its name says.")
            found.append(match[1])
    return found


def check_parts(archive: zipfile.ZipFile, manifest: Mapping[str, Any]) -> None:
    """Reads every part and compares its SHA-256. Raises ``BackupDamaged`` naming the first that does not fit."""
    names = archive.namelist()
    for first, second in pairwise(sorted(names)):
        if first == second:
            raise BackupDamaged(f"“{first}” is in it twice.")
    listed = set(names) - {MANIFEST}
    for name in sorted(set(manifest["parts"]) ^ listed):
        raise BackupDamaged(f"“{name}” is {'missing' if name not in listed else 'not on its list'}.")
    for name, said in manifest["parts"].items():
        digest = hashlib.sha256()
        if archive.getinfo(name).file_size != said["size"]:  # before it is unpacked, however large it says it is
            raise BackupDamaged(f"“{name}” was changed.")
        try:
            with archive.open(name) as part:
                for chunk in chunks(part):
                    digest.update(chunk)
        except UNREADABLE:
            raise BackupDamaged(f"“{name}” cannot be read.") from None
        if digest.hexdigest() != said["sha256"]:
            raise BackupDamaged(f"“{name}” was changed.")


def chunks(part: BinaryIO | Any) -> Iterator[bytes]:
    while chunk := part.read(CHUNK):
        yield chunk
