import json

from hypothesis import given
from hypothesis import strategies as st

from billing.cards.places_in_json import places

values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.text(max_size=6),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text('ab{}[]",\n', max_size=4), inner, max_size=3),
    max_leaves=10,
)


def paths(value: object, path: str = "") -> list[str]:
    found = [path]
    if isinstance(value, dict):
        for name, inner in value.items():
            found += paths(inner, f"{path}.{name}" if path else name)
    if isinstance(value, list):
        for place, inner in enumerate(value):
            found += paths(inner, f"{path}[{place}]")
    return found


@given(values, st.sampled_from([None, 1]))
def test_every_value_has_its_path(value: object, indent: int | None) -> None:
    assert [path for path, _ in places(json.dumps(value, indent=indent))] == paths(value)


def test_the_line_is_that_of_the_value() -> None:
    text = '\n{"a": 1,\n "b": [2,\n\n "three"], "c": {"d":\n 4}}\n'
    assert list(places(text)) == [("", 2), ("a", 2), ("b", 3), ("b[0]", 3), ("b[1]", 5), ("c", 5), ("c.d", 6)]


def test_a_key_that_stands_twice_is_there_twice() -> None:
    assert [path for path, _ in places('{"a": 1, "a": 2}')] == ["", "a", "a"]
