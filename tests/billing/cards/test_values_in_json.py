import pytest
from hypothesis import given
from hypothesis import strategies as st

from billing.cards.values_in_json import NothingThere, put_at, take_out, value_at
from tests.billing.cards.test_places_in_json import paths


def held() -> dict[str, object]:
    return {
        "card": {"media": {"web": {"factor": "1.4"}, "web.own": {"factor": "0.5"}}, "term": [[0, "0.25"], [1, "0.35"]]}
    }


def test_codes_with_points_and_places_in_lists_are_found() -> None:
    assert value_at(held(), "card.media.web.factor") == "1.4"
    assert value_at(held(), "card.media.web.own.factor") == "0.5"
    assert value_at(held(), "card.term[1][1]") == "0.35"
    assert value_at(held(), "") == held()
    for path in ("card.print", "card.term[2]", "card.media.webs"):
        with pytest.raises(NothingThere):
            value_at(held(), path)


def test_a_value_is_put_added_and_taken_out() -> None:
    data = held()
    put_at(data, "card.media.web.own.factor", "0.6")
    put_at(data, "card.term[0]", [0, "1"])
    put_at(data, "card.media.print", {"factor": "2"})
    take_out(data, "card.media.web")
    assert data == {
        "card": {"media": {"web.own": {"factor": "0.6"}, "print": {"factor": "2"}}, "term": [[0, "1"], [1, "0.35"]]}
    }
    with pytest.raises(NothingThere):
        put_at(data, "card.term[7]", [9, "1"])
    with pytest.raises(NothingThere):
        take_out(data, "card.nothing")


names = st.text("abc", min_size=1, max_size=3)
values = st.recursive(
    st.integers(), lambda inner: st.lists(inner, max_size=3) | st.dictionaries(names, inner, max_size=3), max_leaves=8
)


@given(values)
def test_every_path_of_plain_names_leads_to_its_value(value: object) -> None:
    for path in paths(value):
        value_at(value, path)
