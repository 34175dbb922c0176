from datetime import UTC, datetime, timedelta, timezone
from io import BytesIO

import pytest
from PIL import Image, ImageCms

from studio.demo.drawings import DRAWN_BY_AN_ALGORITHM, SUBJECTS, draw_picture

NOON = datetime(2026, 11, 14, 12, 40, 5, tzinfo=timezone(timedelta(hours=1)))


def drawn(subject="boat", **fields):
    return draw_picture(subject, **{"seed": 3, "taken_at": NOON, "width": 240, "height": 160} | fields)


def opened(picture):
    return Image.open(BytesIO(picture))


def test_a_picture_is_a_jpeg_of_the_size_asked_for():
    picture = opened(drawn())
    assert (picture.format, picture.size, picture.mode) == ("JPEG", (240, 160), "RGB")


def test_it_carries_the_wall_clock_and_offset_of_its_taking():
    """Exif 2.32, tags 9003 DateTimeOriginal and 9011 OffsetTimeOriginal."""
    exif = opened(drawn()).getexif().get_ifd(0x8769)
    assert (exif[0x9003], exif[0x9011]) == ("2026:11:14 12:40:05", "+01:00")


def test_it_names_no_camera_and_claims_no_copyright():
    exif = opened(drawn()).getexif()
    assert not {0x010F, 0x0110, 0x8298} & set(exif)


def test_it_says_that_an_algorithm_drew_it():
    packet = opened(drawn(title="Bread boat & yolk")).info["xmp"].decode()
    assert f"<Iptc4xmpExt:DigitalSourceType>{DRAWN_BY_AN_ALGORITHM}<" in packet
    assert "<rdf:li>demo script</rdf:li>" in packet
    assert "Bread boat &amp; yolk (drawn)" in packet
    assert "rights" not in packet


def test_its_colours_are_srgb():
    profile = ImageCms.ImageCmsProfile(BytesIO(opened(drawn()).info["icc_profile"]))
    assert "sRGB" in ImageCms.getProfileDescription(profile)


def test_the_same_seed_gives_the_same_bytes_and_another_seed_another_picture():
    assert drawn(seed=7) == drawn(seed=7)
    assert drawn(seed=7) != drawn(seed=8)


def test_a_time_without_a_zone_is_refused():
    with pytest.raises(ValueError, match="zone"):
        drawn(taken_at=datetime(2026, 11, 14, 12, 40))


def test_an_unknown_subject_is_refused():
    with pytest.raises(KeyError):
        drawn("spaceship")


def test_offsets_west_and_at_zero_are_written_too():
    west = datetime(2026, 7, 1, 9, 0, tzinfo=timezone(-timedelta(hours=3, minutes=30)))
    offsets = [
        opened(drawn(taken_at=at)).getexif().get_ifd(0x8769)[0x9011] for at in (west, datetime(2026, 7, 1, tzinfo=UTC))
    ]
    assert offsets == ["-03:30", "+00:00"]


@pytest.mark.parametrize("subject", SUBJECTS)
def test_every_subject_is_drawn_upright_and_across(subject):
    assert opened(drawn(subject, width=60, height=90)).size == (60, 90)
    assert opened(drawn(subject, width=90, height=60, zoom=1.6)).size == (90, 60)
