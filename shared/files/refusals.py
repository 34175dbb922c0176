"""Why a file was not taken, in the three sentences a person gets."""

from shared.errors import Refusal
from shared.files.media_types import SAID


class FileTypeRefused(Refusal):
    """The bytes are not of a type that is taken here."""

    def __init__(self, name: str, found: str, accepts: frozenset[str]) -> None:
        self.name, self.found = name, found
        wanted = " or ".join(sorted(SAID.get(each, each) for each in accepts))
        inside = SAID.get(found, found)
        super().__init__(
            f"“{name}” is not a {wanted} file: inside it is {inside}.",
            "It was not kept.",
            f"Choose a {wanted} file. Renaming a file does not change what it is.",
        )


class FileTooLarge(Refusal):
    """More bytes than a file may have."""

    def __init__(self, name: str, size: int, largest: int) -> None:
        self.name, self.size, self.largest = name, size, largest
        super().__init__(
            f"“{name}” has {_megabytes(size)}; one file may have {_megabytes(largest)}.",
            "It was not kept.",
            "Make it smaller, for example by exporting it at a lower quality, and send it again.",
        )


class FileEmpty(Refusal):
    """A file without a byte."""

    def __init__(self, name: str) -> None:
        super().__init__(
            f"“{name}” is empty.", "It was not kept.", "Check that it was copied whole, then send it again."
        )


class PictureRefused(Refusal):
    """A picture that is cut off, damaged, or would burst the memory when opened."""

    def __init__(self, name: str, why: str, what_to_do: str) -> None:
        self.name = name
        super().__init__(f"“{name}” {why}", "It was not kept.", what_to_do)


class DiskFull(Refusal):
    """The disk has no room for the file."""

    status = 507

    def __init__(self, name: str) -> None:
        super().__init__(
            f"The disk is full: “{name}” could not be kept.",
            "What was saved before is kept. This file was not.",
            "Make room on the disk, then send it again.",
        )


def _megabytes(size: int) -> str:
    megabytes = size / (1024 * 1024)
    return f"{megabytes:.0f} MB" if megabytes >= 10 else f"{megabytes:.1f} MB"
