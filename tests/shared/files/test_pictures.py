import io
import struct
import zlib

import pytest
from PIL import Image

from shared.files.pictures import check_picture
from shared.files.refusals import PictureRefused


def picture(kind: str = "JPEG", size: tuple[int, int] = (600, 400)) -> bytes:
    out = io.BytesIO()
    Image.effect_noise(size, 40).convert("RGB").save(out, kind)
    return out.getvalue()


def bomb(side: int) -> bytes:
    """A PNG of a few bytes that says it has side × side pixels (PNG 3rd edition, 11.2.1 IHDR)."""

    def chunk(kind: bytes, body: bytes) -> bytes:
        return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))

    head = struct.pack(">IIBBBBB", side, side, 8, 2, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(bytes(1000))) + chunk(b"IEND", b"")
    )


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "TIFF", "WEBP"])
def test_a_whole_picture_tells_its_size(kind: str) -> None:
    found = check_picture(picture(kind))
    assert (found.width, found.height, found.format) == (600, 400, kind)


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "TIFF", "WEBP"])
@pytest.mark.parametrize("part", [0.3, 0.7, 0.95])
def test_a_picture_that_was_cut_off_is_refused(kind: str, part: float) -> None:
    whole = picture(kind)
    with pytest.raises(PictureRefused, match=r"“plate\.jpg” is"):
        check_picture(whole[: int(len(whole) * part)], name="plate.jpg")


@pytest.mark.parametrize("side", [15_000, 60_000])
def test_a_small_file_that_unpacks_to_a_huge_picture_is_refused_unopened(side: int) -> None:
    with pytest.raises(PictureRefused, match="pixels"):
        check_picture(bomb(side))


def test_words_are_no_picture() -> None:
    with pytest.raises(PictureRefused, match="is not a picture"):
        check_picture(b"hello")
