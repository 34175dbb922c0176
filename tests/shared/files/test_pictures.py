import io
import struct
import zlib

import pytest
from PIL import EpsImagePlugin, Image

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


# PostScript that draws nothing (EPSF 3.0, Adobe Technical Note 5002: the header and the bounding box).
EPS = b"%!PS-Adobe-3.0 EPSF-3.0\n%%BoundingBox: 0 0 10 10\n%%EndComments\nshowpage\n%%EOF\n"


def test_postscript_is_never_handed_to_ghostscript(monkeypatch: pytest.MonkeyPatch) -> None:
    called = []
    monkeypatch.setattr(EpsImagePlugin, "Ghostscript", lambda *a, **k: called.append(a) or Image.new("RGB", (9, 9)).im)
    with pytest.raises(PictureRefused, match="is not a picture this program can open"):
        check_picture(EPS, name="plate.jpg")
    assert not called


@pytest.mark.parametrize("kind", ["GIF", "BMP", "PPM", "ICO"])
def test_other_formats_are_not_opened_at_all(kind: str) -> None:
    with pytest.raises(PictureRefused, match="is not a picture this program can open"):
        check_picture(picture(kind, (64, 64)))


def test_a_cameras_jpeg_with_a_second_picture_in_it_is_a_picture() -> None:
    out = io.BytesIO()
    second = Image.new("RGB", (60, 40))
    Image.new("RGB", (600, 400)).save(out, "MPO", save_all=True, append_images=[second])
    assert check_picture(out.getvalue()).width == 600
