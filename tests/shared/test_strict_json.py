import pytest

from shared.strict_json import InvalidJson, KeyTwice, read_json


def test_json_is_read_as_text_and_as_bytes():
    assert read_json('{"days": [1, 2.5, null]}') == read_json(b'{"days": [1, 2.5, null]}') == {"days": [1, 2.5, None]}


@pytest.mark.parametrize(
    "text", ["", "{", '{"seconds": NaN}', '{"seconds": -Infinity}', "[" * 100_000, b"\xff\xfe\xff"]
)
def test_what_is_no_json_is_refused(text):
    with pytest.raises(InvalidJson):
        read_json(text)


def test_a_key_that_stands_twice_is_named():
    with pytest.raises(KeyTwice, match="“oven” is there twice") as told:
        read_json('{"resources": {"oven": 1, "cook": 1, "oven": 2}}')
    assert told.value.key == "oven"
