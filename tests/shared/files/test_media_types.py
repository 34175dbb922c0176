import pytest

from shared.files.media_types import media_type_of


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"%PDF-1.7", "application/pdf"),
        (b"\xff\xd8\xff\xe1", "image/jpeg"),
        (b"\x89PNG\r\n\x1a\n", "image/png"),
        (b"II*\x00", "image/tiff"),
        (b"MM\x00*", "image/tiff"),
        (b"RIFF\x00\x00\x00\x00WEBP", "image/webp"),
        (b"RIFF\x00\x00\x00\x00WAVE", "application/octet-stream"),
        (b"PK\x03\x04", "application/zip"),
        (b"<?xml version='1.0'?><a/>", "application/xml"),
        (b'{"a": 1}', "application/json"),
        ("Küche".encode(), "text/plain"),
        (b"\xfe\xed", "application/octet-stream"),
        (b"", "application/octet-stream"),
    ],
)
def test_a_file_is_what_its_first_bytes_say(data: bytes, said: str) -> None:
    assert media_type_of(data) == said
