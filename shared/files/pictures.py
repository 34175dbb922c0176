"""Is a picture whole, and small enough to open? Bytes in, size out."""

import io
import warnings
from dataclasses import dataclass

from PIL import Image, ImageFile, UnidentifiedImageError

from shared.files.refusals import PictureRefused

# Only these are tried, whatever the bytes say: Pillow would hand an EPS named .jpg to Ghostscript.
FORMATS = ("JPEG", "PNG", "TIFF", "WEBP")
# Larger than any camera of the trade (150 megapixels) and small enough for the memory of a small machine.
MOST_PIXELS = 200_000_000


@dataclass(frozen=True, slots=True)
class PictureSize:
    """Width and height in pixels as stored, and the format's name (JPEG, PNG, TIFF, WEBP)."""

    width: int
    height: int
    format: str


def check_picture(data: bytes, *, name: str = "The picture", most_pixels: int = MOST_PIXELS) -> PictureSize:
    """The size of a whole picture. Raises ``PictureRefused`` when it is cut off, damaged or too many pixels.

    The pixels are counted from the header before any is decoded, so a small file that unpacks to a huge one is refused
    without being unpacked; then the whole picture is decoded once, which finds a cut-off file.
    """
    again = "Export it again from your camera or raw converter, then send it once more."
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", Image.DecompressionBombWarning)
            with Image.open(io.BytesIO(data), formats=FORMATS) as picture:
                width, height, kind = picture.width, picture.height, picture.format or ""
                _refuse_a_bomb(name, width, height, most_pixels)
                ImageFile.LOAD_TRUNCATED_IMAGES = False  # WeasyPrint makes all of Pillow lenient when it is imported
                picture.load()
    except PictureRefused:
        raise
    except Image.DecompressionBombError:
        raise PictureRefused(name, "unpacks to more pixels than this program opens.", again) from None
    except UnidentifiedImageError:
        raise PictureRefused(name, "is not a picture this program can open.", again) from None
    except (OSError, SyntaxError, ValueError, EOFError):
        raise PictureRefused(name, "is cut off or damaged.", again) from None
    return PictureSize(width, height, kind)


def _refuse_a_bomb(name: str, width: int, height: int, most_pixels: int) -> None:
    if width * height > most_pixels:
        millions = width * height // 1_000_000
        raise PictureRefused(
            name,
            f"says it is {width} × {height} pixels. {millions} million are more than this program opens.",
            f"Export it with at most {most_pixels // 1_000_000} million pixels.",
        )
