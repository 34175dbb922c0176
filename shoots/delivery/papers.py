"""One ZIP file of many pictures, written while it is read: names in order, fixed dates, nothing packed, so the same twice."""

import io
import zipfile
from collections.abc import Iterable, Iterator

from shoots.delivery.naming import Entry

# The earliest date a ZIP entry can carry (MS-DOS date; PKWARE APPNOTE 4.4.6, from memory).
EPOCH = (1980, 1, 1, 0, 0, 0)


class _Sink(io.RawIOBase):
    """Takes what is written and hands it on; it cannot seek, so sizes follow each file."""

    def __init__(self) -> None:
        self.held = bytearray()

    def writable(self) -> bool:
        return True

    def write(self, piece: bytes) -> int:  # type: ignore[override]
        self.held += piece
        return len(piece)

    def take(self) -> bytes:
        piece = bytes(self.held)
        self.held.clear()
        return piece


def delivery_zip(entries: Iterable[Entry]) -> Iterator[bytes]:
    """The archive in pieces, in the order of the names. At no moment is more than one piece held."""
    sink = _Sink()
    with zipfile.ZipFile(sink, "w", zipfile.ZIP_STORED) as archive:
        for entry in sorted(entries, key=lambda each: each.name):
            info = zipfile.ZipInfo(entry.name, EPOCH)
            info.external_attr = 0o644 << 16
            with archive.open(info, "w") as stream:
                for piece in entry.pieces():
                    stream.write(piece)
                    yield sink.take()
            yield sink.take()
    yield sink.take()
