"""The file a backup is: a ZIP with a list of everything in it and the SHA-256 of each part. Nothing here knows Django."""

import hashlib
import json
import zipfile
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, BinaryIO

from shared.errors import Refusal

MANIFEST = "manifest.json"
FORMAT = "plate-ledger backup 1"
CHUNK = 1024 * 1024


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


def read_manifest(archive: zipfile.ZipFile) -> dict[str, Any]:
    """The list of a backup. Raises ``BackupDamaged``."""
    try:
        manifest: dict[str, Any] = json.loads(archive.read(MANIFEST))
    except (KeyError, ValueError):
        raise BackupDamaged("it has no readable list of its parts.") from None
    if manifest.get("format") != FORMAT or not isinstance(manifest.get("parts"), dict):
        raise BackupDamaged("it was made by something else.")
    return manifest


def check_parts(archive: zipfile.ZipFile, manifest: Mapping[str, Any]) -> None:
    """Reads every part and compares its SHA-256. Raises ``BackupDamaged`` naming the first that does not fit."""
    listed = set(archive.namelist()) - {MANIFEST}
    for name in sorted(set(manifest["parts"]) ^ listed):
        raise BackupDamaged(f"“{name}” is {'missing' if name not in listed else 'not on its list'}.")
    for name, said in manifest["parts"].items():
        digest = hashlib.sha256()
        try:
            with archive.open(name) as part:
                for chunk in chunks(part):
                    digest.update(chunk)
        except (zipfile.BadZipFile, EOFError, OSError):
            raise BackupDamaged(f"“{name}” cannot be read.") from None
        if digest.hexdigest() != said["sha256"]:
            raise BackupDamaged(f"“{name}” was changed.")


def chunks(part: BinaryIO | Any) -> Iterator[bytes]:
    while chunk := part.read(CHUNK):
        yield chunk
