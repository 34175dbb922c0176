"""The demo's pictures: drawn, marked as drawn, and carrying the capture time that a camera would have written.

They hold no camera data and claim no copyright: drawings standing in for a photographer's work.
"""

from __future__ import annotations

from datetime import datetime
from functools import cache, lru_cache
from html import escape
from io import BytesIO

from PIL import Image, ImageCms

from studio.demo.dishes import DISHES
from studio.demo.paint import Scene

SUBJECTS = tuple(DISHES)
CREATOR = "demo script"
# IPTC NewsCodes, digitalsourcetype: "made purely by an algorithm not based on any sampled training data".
DRAWN_BY_AN_ALGORITHM = "http://cv.iptc.org/newscodes/digitalsourcetype/algorithmicMedia"

_EXIF_PART, _TAKEN, _DIGITISED, _TAKEN_OFFSET, _DIGITISED_OFFSET = 0x8769, 0x9003, 0x9004, 0x9011, 0x9012
_QUALITY = 84


def draw_picture(
    subject: str,
    *,
    seed: int,
    taken_at: datetime,
    width: int = 1500,
    height: int = 1000,
    zoom: float = 1,
    title: str = "",
) -> bytes:
    """A JPEG of the subject in that seed's arrangement. `taken_at` is aware, in the zone of the kitchen: its wall clock and offset are written.

    `zoom` of 1.5 or so makes a tight detail of it. The same arguments give the same bytes. Raises KeyError for an unknown subject, ValueError when `taken_at` has no zone.
    """
    if taken_at.utcoffset() is None:
        raise ValueError("A capture time needs its zone.")
    saved = BytesIO()
    _painted(subject, seed, width, height, zoom).save(
        saved,
        "JPEG",
        quality=_QUALITY,
        exif=_exif(taken_at),
        xmp=_xmp(title or subject),
        icc_profile=_srgb(),
        dpi=(300, 300),
    )
    return saved.getvalue()


@lru_cache(maxsize=128)
def _painted(subject: str, seed: int, width: int, height: int, zoom: float) -> Image.Image:
    """Painting takes a hundred times as long as saving, and a year of shoots shows the same tables again."""
    scene = Scene(width, height, seed, zoom=zoom)
    DISHES[subject](scene)
    scene.window()
    scene.mark("drawn")
    return scene.image


def forget_painted() -> None:
    """Gives back the memory of pictures painted so far."""
    _painted.cache_clear()


def _exif(taken_at: datetime) -> Image.Exif:
    exif = Image.Exif()
    part = exif.get_ifd(_EXIF_PART)
    offset = taken_at.strftime("%z")
    part[_TAKEN] = part[_DIGITISED] = taken_at.strftime("%Y:%m:%d %H:%M:%S")
    part[_TAKEN_OFFSET] = part[_DIGITISED_OFFSET] = f"{offset[:3]}:{offset[3:5]}"
    return exif


def _xmp(title: str) -> bytes:
    words = escape(title)
    return f"""<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"?>
<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">
<rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/" xmlns:Iptc4xmpExt="http://iptc.org/std/Iptc4xmpExt/2008-02-29/">
<Iptc4xmpExt:DigitalSourceType>{DRAWN_BY_AN_ALGORITHM}</Iptc4xmpExt:DigitalSourceType>
<dc:creator><rdf:Seq><rdf:li>{CREATOR}</rdf:li></rdf:Seq></dc:creator>
<dc:title><rdf:Alt><rdf:li xml:lang="x-default">{words} (drawn)</rdf:li></rdf:Alt></dc:title>
<dc:description><rdf:Alt><rdf:li xml:lang="x-default">{words}, a drawn demo picture. Not a photograph.</rdf:li></rdf:Alt></dc:description>
</rdf:Description></rdf:RDF></x:xmpmeta>
<?xpacket end="r"?>""".encode()


@cache
def _srgb() -> bytes:
    """An sRGB profile. The time of its making (ICC.1, header bytes 24 to 35) is set to a fixed day, so that the same picture has the same bytes."""
    profile = bytearray(ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes())
    profile[24:36] = b"\x07\xea\x00\x01\x00\x01\x00\x00\x00\x00\x00\x00"  # 2026-01-01 00:00:00
    profile[84:100] = bytes(16)
    return bytes(profile)
