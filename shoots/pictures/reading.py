"""What a picture file says of itself, and copies of it for the screen. Bytes in, values or bytes out; the original is never written.

Capture time: EXIF 2.32 (CIPA DC-008) tags DateTimeOriginal (0x9003), SubSecTimeOriginal (0x9291), OffsetTimeOriginal (0x9011).
Without an offset the zone is unknown and stays so; nothing is invented. Size is after Orientation (0x0112). Copies are converted from the
embedded ICC profile to sRGB (IEC 61966-2-1) with relative colorimetric intent; an untagged picture is taken as sRGB.
"""

import io
import re
import struct
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, timezone

from PIL import Image, ImageCms, ImageOps

from shared.files.pictures import FORMATS

EXIF_IFD = 0x8769
ORIENTATION = 0x0112
TAKEN, TAKEN_PARTS, TAKEN_OFFSET = 0x9003, 0x9291, 0x9011
THUMBNAIL_PIXELS, PREVIEW_PIXELS = 480, 1600
# What Pillow raises over an EXIF block that is cut off or holds another kind of value than its tag says.
BROKEN_EXIF = (SyntaxError, ValueError, TypeError, LookupError, OSError, struct.error)
OFFSET = re.compile(r"([+-])([01]\d|2[0-3]):([0-5]\d)")
MARK = re.compile(rb"digitalsourcetype/(?:algorithmicMedia|trainedAlgorithmicMedia|compositeSynthetic)")


@dataclass(frozen=True, slots=True)
class Capture:
    """Size as seen, and when the picture was taken. Without a known zone ``taken_at`` is the camera's clock, written as UTC."""

    width: int
    height: int
    taken_at: datetime | None
    is_zone_known: bool
    is_drawn: bool


def read_capture(data: bytes) -> Capture:
    """What the file says of itself. A date that cannot be read is no date, an EXIF block that cannot be read is none."""
    with Image.open(io.BytesIO(data), formats=FORMATS) as picture:
        width, height = picture.size
        try:
            exif = picture.getexif()
            details = exif.get_ifd(EXIF_IFD)
        except BROKEN_EXIF:
            exif, details = Image.Exif(), {}
        if (
            exif.get(ORIENTATION, 1) in (5, 6, 7, 8) and picture.format != "TIFF"
        ):  # Pillow has turned a TIFF's size already
            width, height = height, width
        taken, known = _taken(*(str(details.get(tag, "")).strip("\x00 ") for tag in (TAKEN, TAKEN_PARTS, TAKEN_OFFSET)))
    return Capture(width, height, taken, known, bool(MARK.search(data)))


def screen_copy(data: bytes, longest: int) -> bytes:
    """An sRGB JPEG no longer than ``longest`` pixels on either side, upright, without the file's metadata."""
    with Image.open(io.BytesIO(data), formats=FORMATS) as picture:
        if picture.format == "JPEG":
            picture.draft("RGB", (longest * 2, longest * 2))
        try:
            copy = ImageOps.exif_transpose(picture)
        except BROKEN_EXIF:
            copy = picture.copy()
        profile = picture.info.get("icc_profile")
        copy = _in_srgb(copy, profile)
        copy.thumbnail((longest, longest), Image.Resampling.LANCZOS)
        out = io.BytesIO()
        copy.save(out, "JPEG", quality=86, optimize=True, progressive=True)
    return out.getvalue()


def _in_srgb(picture: Image.Image, profile: bytes | None) -> Image.Image:
    if picture.mode in ("RGBA", "LA", "P"):
        ground = Image.new("RGB", picture.size, "white")
        with_alpha = picture.convert("RGBA")
        ground.paste(with_alpha, mask=with_alpha.getchannel("A"))
        picture = ground
    if profile:
        try:
            source = ImageCms.ImageCmsProfile(io.BytesIO(profile))
            changed = ImageCms.profileToProfile(
                picture,
                source,
                ImageCms.createProfile("sRGB"),
                renderingIntent=ImageCms.Intent.RELATIVE_COLORIMETRIC,
                outputMode="RGB",
                flags=ImageCms.Flags.BLACKPOINTCOMPENSATION,
            )
        except (ImageCms.PyCMSError, OSError, ValueError):
            changed = None  # a broken profile: show the numbers as they are
        if changed is not None:
            return changed
    return picture if picture.mode == "RGB" else picture.convert("RGB")


def _taken(text: str, parts: str, offset: str) -> tuple[datetime | None, bool]:
    """``parts`` are the decimals of the second: they keep the frames of a burst in order."""
    try:
        taken = datetime.strptime(text, "%Y:%m:%d %H:%M:%S")  # noqa: DTZ007 the zone comes from its own tag
        if parts.isdecimal():
            taken = taken.replace(microsecond=int(parts[:6].ljust(6, "0")))
        found = OFFSET.fullmatch(offset)
        if not found:
            return taken.replace(tzinfo=UTC), False
        ahead = timedelta(hours=int(found[2]), minutes=int(found[3]))
        return taken.replace(tzinfo=timezone(ahead if found[1] == "+" else -ahead)).astimezone(UTC), True
    except (ValueError, OverflowError):  # no date, or one that its zone carries out of the calendar
        return None, False
