from shoots.delivery.naming import Entry, file_names


def test_a_file_is_named_by_its_picture_with_the_ending_it_came_with():
    names = file_names(
        [(1, "WL-1126-001", "IMG_0001.JPG"), (2, "WL-1126-002", "scan.TIFF"), (3, "WL-1126-003", "noend")]
    )
    assert names == {1: "WL-1126-001.jpg", 2: "WL-1126-002.tiff", 3: "WL-1126-003"}


def test_an_entry_gives_its_bytes_when_asked():
    assert list(Entry("a", lambda: [b"x"]).pieces()) == [b"x"]
