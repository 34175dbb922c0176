"""Real pictures: flat grey JPEG files with their size written on them, and rows made through the action."""

import io
from datetime import UTC, datetime
from typing import Any

from PIL import Image, ImageCms, ImageDraw

from shoots.brief.models import Shoot
from shoots.pictures.actions import take_in_picture
from shoots.pictures.models import Picture
from tests.factories.shared import BusinessProfileFactory
from tests.factories.shoots import ShootFactory

# Made once: a profile carries the second it was made in, and equal pictures must be equal bytes.
SRGB = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
AT = datetime(2026, 11, 14, 16, 0, tzinfo=UTC)


def grey_jpeg(
    width: int = 300, height: int = 200, *, seed: int = 0, taken: str = "", offset: str = "", orientation: int = 1
) -> bytes:
    """A grey frame with its pixel size on it. ``taken`` is EXIF's 2026:11:14 12:40:05."""
    picture = Image.new("RGB", (width, height), (118, 118, 118))
    ImageDraw.Draw(picture).text((8, 8), f"{width} x {height}, {seed}", fill="white")
    exif = Image.Exif()
    if orientation != 1:
        exif[0x0112] = orientation
    if taken:
        details = exif.get_ifd(0x8769)
        details[0x9003] = taken
        if offset:
            details[0x9011] = offset
    out = io.BytesIO()
    picture.save(out, "JPEG", quality=85, exif=exif, icc_profile=SRGB)
    return out.getvalue()


def picture_of(shoot: Shoot | None = None, *, seed: int = 0, at: datetime = AT, **also: Any) -> Picture:
    """A picture taken in for a shoot; ``also`` sets fields of its row."""
    BusinessProfileFactory()
    shoot = shoot or ShootFactory(title="Winter menu", client__name="Walnut Lantern")
    picture = take_in_picture(shoot, data=grey_jpeg(seed=seed), name=f"frame-{seed}.jpg", at=at)
    for name, value in also.items():
        setattr(picture, name, value)
    if also:
        picture.save()
    return picture
