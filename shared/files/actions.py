import errno
import hashlib
import os
import uuid
from datetime import datetime
from pathlib import Path

from django.conf import settings

from shared.files.media_types import media_type_of
from shared.files.models import StoredFile
from shared.files.refusals import DiskFull, FileEmpty, FileTooLarge, FileTypeRefused, PictureRefused

__all__ = [
    "PAPERS",
    "PICTURES",
    "RECEIPTS",
    "DiskFull",
    "FileEmpty",
    "FileTooLarge",
    "FileTypeRefused",
    "PictureRefused",
    "keep_file",
]

RECEIPTS = frozenset({"application/pdf", "image/jpeg", "image/png"})
PICTURES = frozenset({"image/jpeg", "image/tiff", "image/png", "image/webp"})
PAPERS = frozenset({"application/pdf"})


def keep_file(data: bytes, *, name: str, kind: str, at: datetime, accepts: frozenset[str] | None = None) -> StoredFile:
    """Keeps bytes for good under their SHA-256 and returns the row that names them.

    ``accepts`` is a set of media types (``RECEIPTS``, ``PICTURES``, ``PAPERS``), told by the bytes; None takes anything, for
    files the house made itself. The file is whole on the disk before the row exists. Raises ``FileEmpty``, ``FileTooLarge``,
    ``FileTypeRefused``, ``DiskFull``.
    """
    if not data:
        raise FileEmpty(name)
    if len(data) > settings.LARGEST_UPLOAD and accepts is not None:
        raise FileTooLarge(name, len(data), settings.LARGEST_UPLOAD)
    media_type = media_type_of(data)
    if accepts is not None and media_type not in accepts:
        raise FileTypeRefused(name, media_type, accepts)
    row = StoredFile(
        name=Path(name.replace("\\", "/")).name[-200:] or "file",
        kind=kind,
        media_type=media_type,
        size=len(data),
        sha256=hashlib.sha256(data).hexdigest(),
        kept_at=at,
    )
    try:
        write_whole(row.path, data)
    except OSError as problem:
        if problem.errno in (errno.ENOSPC, errno.EDQUOT):
            raise DiskFull(name) from problem
        raise
    row.save(force_insert=True)
    return row


def write_whole(path: Path, data: bytes) -> None:
    """Writes a file so that it is whole or absent, also after a power cut: temporary name, fsync, rename, fsync of the folder."""
    if path.exists() and path.stat().st_size == len(data):
        return
    path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    fresh = path.with_name(f".{uuid.uuid4().hex}")
    try:
        with fresh.open("xb") as file:
            os.fchmod(file.fileno(), 0o600)
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        fresh.replace(path)
        folder = os.open(path.parent, os.O_RDONLY)
        try:
            os.fsync(folder)
        finally:
            os.close(folder)
    finally:
        fresh.unlink(missing_ok=True)
