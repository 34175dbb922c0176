import io
import zipfile

from shoots.delivery.naming import Entry
from shoots.delivery.papers import delivery_zip

ENTRIES = [Entry("b.jpg", lambda: [b"two", b"three"]), Entry("a.jpg", lambda: [b"one" * 1000])]


def test_the_archive_holds_each_file_whole_in_the_order_of_names():
    whole = b"".join(delivery_zip(ENTRIES))
    with zipfile.ZipFile(io.BytesIO(whole)) as archive:
        assert archive.testzip() is None
        assert archive.namelist() == ["a.jpg", "b.jpg"]
        assert archive.read("b.jpg") == b"twothree"
        assert {info.compress_type for info in archive.infolist()} == {zipfile.ZIP_STORED}


def test_the_same_files_make_the_same_bytes():
    assert b"".join(delivery_zip(ENTRIES)) == b"".join(delivery_zip(reversed(ENTRIES)))


def test_it_comes_in_pieces():
    assert len(list(delivery_zip(ENTRIES))) > 3
