import io
from datetime import UTC, datetime

import pytest
from PIL import Image, ImageCms, UnidentifiedImageError

from shared.files.pictures import check_picture
from shoots.pictures.reading import read_capture, screen_copy
from tests.factories.pictures import grey_jpeg


def opened(data):
    return Image.open(io.BytesIO(data))


def test_capture_time_with_a_zone_is_a_moment():
    capture = read_capture(grey_jpeg(taken="2026:11:14 12:40:05", offset="+01:00"))
    assert (capture.taken_at, capture.is_zone_known) == (datetime(2026, 11, 14, 11, 40, 5, tzinfo=UTC), True)


def test_without_a_zone_it_is_the_cameras_clock_and_said_so():
    capture = read_capture(grey_jpeg(taken="2026:11:14 12:40:05"))
    assert (capture.taken_at, capture.is_zone_known) == (datetime(2026, 11, 14, 12, 40, 5, tzinfo=UTC), False)


@pytest.mark.parametrize("taken", ["", "0000:00:00 00:00:00", "yesterday"])
def test_a_date_that_cannot_be_read_is_no_date(taken):
    assert read_capture(grey_jpeg(taken=taken)).taken_at is None


@pytest.mark.parametrize("offset", ["+99:00", "+24:00", "+01:75", "Z", "   :  "])
def test_a_zone_that_cannot_be_is_no_zone_and_the_picture_is_taken_in_all_the_same(offset):
    capture = read_capture(grey_jpeg(taken="2026:11:14 12:40:05", offset=offset))
    assert (capture.taken_at, capture.is_zone_known) == (datetime(2026, 11, 14, 12, 40, 5, tzinfo=UTC), False)


@pytest.mark.parametrize(("taken", "offset"), [("0001:01:01 00:00:00", "+01:00"), ("9999:12:31 23:59:59", "-01:00")])
def test_a_date_that_its_zone_carries_out_of_the_calendar_is_no_date(taken, offset):
    assert read_capture(grey_jpeg(taken=taken, offset=offset)).taken_at is None


def test_size_is_as_seen_after_turning():
    capture = read_capture(grey_jpeg(300, 200, orientation=6))
    assert (capture.width, capture.height) == (200, 300)
    assert opened(screen_copy(grey_jpeg(300, 200, orientation=6), 150)).size == (100, 150)


def test_a_copy_is_small_and_carries_no_metadata():
    copy = opened(screen_copy(grey_jpeg(1200, 800, taken="2026:11:14 12:40:05"), 480))
    assert copy.size == (480, 320)
    assert not copy.getexif()


def linear_profile():
    """A profile whose numbers mean another light: sRGB primaries would show grey 118 the same, so use XYZ-like L*a*b*."""
    return ImageCms.ImageCmsProfile(ImageCms.createProfile("LAB"))


def test_colour_is_converted_from_the_embedded_profile():
    lab = Image.new("LAB", (60, 40), (128, 190, 128))
    red = ImageCms.profileToProfile(lab, linear_profile(), ImageCms.createProfile("sRGB"), outputMode="RGB")
    out = io.BytesIO()
    red.save(out, "PNG", icc_profile=ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes())
    shown = opened(screen_copy(out.getvalue(), 60)).getpixel((30, 20))
    assert all(abs(a - b) <= 6 for a, b in zip(shown, red.getpixel((30, 20)), strict=True))


def test_cmyk_and_see_through_pictures_become_plain_rgb():
    for picture, kind in (
        (Image.new("CMYK", (60, 40), (0, 200, 0, 0)), "JPEG"),
        (Image.new("RGBA", (60, 40), (255, 0, 0, 0)), "PNG"),
    ):
        out = io.BytesIO()
        picture.save(out, kind)
        assert opened(screen_copy(out.getvalue(), 60)).mode == "RGB"


def test_a_picture_marked_as_made_by_rule_is_known_as_drawn():
    data = grey_jpeg() + b"http://cv.iptc.org/newscodes/digitalsourcetype/algorithmicMedia"
    assert read_capture(data).is_drawn
    assert not read_capture(grey_jpeg()).is_drawn


@pytest.mark.parametrize("read", [read_capture, lambda data: screen_copy(data, 480)])
def test_nothing_but_the_formats_of_the_trade_is_opened(read):
    with pytest.raises(UnidentifiedImageError):
        read(b"%!PS-Adobe-3.0 EPSF-3.0\n%%BoundingBox: 0 0 10 10\n%%EndComments\nshowpage\n%%EOF\n")


def turned(kind):
    """A picture turned by its EXIF block, with the date in the block's first directory: both are easy to break there."""
    exif, out = Image.Exif(), io.BytesIO()
    exif[0x0112], exif[0x9003] = 6, "2026:11:14 12:40:05"
    Image.new("RGB", (300, 200), (118, 118, 118)).save(out, kind, exif=exif)
    return out.getvalue()


@pytest.mark.parametrize(
    ("kind", "whole", "broken"),
    [
        ("WEBP", b"MM\0*", b"M?\0*"),  # no byte order (TIFF 6.0 section 2)
        ("JPEG", b"\x90\x03\0\x02", b"\x01\x03\0\x02"),  # Compression, a number, as text
    ],
)
def test_a_broken_exif_block_keeps_no_picture_out(kind, whole, broken):
    data = turned(kind)
    assert data.count(whole) == 1
    data = data.replace(whole, broken)
    check_picture(data)
    assert read_capture(data).taken_at is None
    assert opened(screen_copy(data, 480)).format == "JPEG"
