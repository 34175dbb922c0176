from datetime import UTC, datetime, timedelta
from uuid import UUID

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shoots.day.sending import KINDS, Unreadable, clock_off, phone_time, put_right, read_mark

AT = datetime(2026, 11, 14, 9, 0, tzinfo=UTC)
KEY = "5f0c9d6e-6b0b-4c58-9a4b-0d2f6f3f1a11"
MARK = {
    "key": KEY,
    "kind": "done",
    "shot": 7,
    "words": "yolk broke",
    "at": "2026-11-14T10:00:00.250+01:00",
    "off": None,
}

anything = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(st.characters()),
    lambda inner: st.lists(inner) | st.dictionaries(st.text(), inner),
    max_leaves=8,
)
marks = st.fixed_dictionaries(
    {
        "key": st.just(KEY) | anything,
        "kind": st.sampled_from(KINDS) | anything,
        "at": st.just("2026-11-14T09:00:00Z") | anything,
    },
    optional=dict.fromkeys(("shot", "words", "item", "minutes", "about", "off"), anything),
)


def test_a_mark_is_read_with_its_time_in_utc():
    sent = read_mark(MARK)
    assert (sent.key, sent.kind, sent.shot, sent.words) == (UUID(KEY), "done", 7, "yolk broke")
    assert sent.pressed_at == AT + timedelta(milliseconds=250)


def test_a_shot_made_on_the_phone_is_named_by_the_mark_that_made_it():
    sent = read_mark(MARK | {"shot": KEY})
    assert (sent.shot, sent.unplanned) == (None, UUID(KEY))


@pytest.mark.parametrize(
    "change",
    [
        {"key": "seven"},
        {"key": None},
        {"kind": "dance"},
        {"kind": ["done"]},
        {"at": "noon"},
        {"at": "2026-11-14T10:00"},
    ],
)
def test_what_is_no_mark_is_refused_with_a_sentence(change):
    with pytest.raises(Unreadable, match="mark"):
        read_mark(MARK | change)


def test_words_are_cut_and_cleaned_never_refused():
    assert read_mark(MARK | {"words": "a" * 500}).words == "a" * 200
    assert read_mark(MARK | {"words": "pot\0 \ud800\n broke"}).words == "pot ? broke"
    assert read_mark(MARK | {"words": 7, "minutes": True, "shot": -1}).minutes is None


@given(anything | marks)
def test_nothing_a_phone_can_send_breaks_the_reader(raw):
    try:
        sent = read_mark(raw)
    except Unreadable:
        return
    sent.words.encode()
    assert "\0" not in sent.words + sent.item
    assert len(sent.words) <= 200
    assert sent.pressed_at.tzinfo is not None


@pytest.mark.parametrize(
    ("seconds", "shown"),
    [(7200, 0), (-7200, 0), (59, 59), (-59, -59), (60, 0)],
)
def test_a_clock_a_minute_off_or_more_is_put_right(seconds, shown):
    said, received = AT + timedelta(seconds=seconds), AT + timedelta(hours=3)
    assert put_right(said, seconds, received=received) == AT + timedelta(seconds=shown)


@given(st.datetimes(timezones=st.just(UTC)), st.integers(-(10**9), 10**9))
def test_no_mark_lies_in_the_future(said, off):
    assert put_right(said, off, received=AT) <= AT


def test_how_far_a_clock_is_off():
    assert clock_off(AT + timedelta(hours=2), AT) == 7200
    assert clock_off(None, AT) == 0
    assert clock_off(datetime(9000, 1, 1, tzinfo=UTC), AT) == 10**9
    assert phone_time("2026-11-14T09:00:00.000Z") == AT
    assert phone_time(["x"]) is None
