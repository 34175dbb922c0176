from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared.evidence.chain import (
    BEGINNING,
    ChainRow,
    InvalidPayload,
    canonical_json,
    concealing_hash,
    first_misfit,
    holds_head,
    link_hash,
)

AT = datetime(2027, 3, 1, 9, 0, 0, tzinfo=UTC)
json_values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=4), inner, max_size=3),
    max_leaves=8,
)


def chain(count: int) -> list[ChainRow]:
    rows: list[ChainRow] = []
    for seq in range(1, count + 1):
        prev = rows[-1].hash if rows else BEGINNING
        facts = {
            "seq": seq,
            "at": AT + timedelta(minutes=seq),
            "kind": "shown",
            "subject": "release:7",
            "payload": {"page": seq},
            "prev": prev,
        }
        rows.append(ChainRow(**facts, hash=link_hash(**facts)))  # type: ignore[arg-type]
    return rows


def test_an_untouched_chain_holds() -> None:
    assert first_misfit(chain(5)) is None
    assert first_misfit([]) is None


def test_an_edited_row_is_named() -> None:
    rows = chain(5)
    rows[2] = replace(rows[2], payload={"page": 33})
    assert first_misfit(rows) == 3


def test_of_a_removed_row_the_next_one_is_named() -> None:
    rows = chain(5)
    del rows[2]
    assert first_misfit(rows) == 4


def test_exchanged_payloads_name_the_first_of_the_two() -> None:
    rows = chain(5)
    rows[2], rows[3] = replace(rows[2], payload=rows[3].payload), replace(rows[3], payload=rows[2].payload)
    assert first_misfit(rows) == 3


def test_a_row_rewritten_with_a_new_hash_shows_in_the_next_row() -> None:
    rows = chain(5)
    row = replace(rows[2], payload={"page": 33})
    new = link_hash(seq=row.seq, at=row.at, kind=row.kind, subject=row.subject, payload=row.payload, prev=row.prev)
    rows[2] = replace(row, hash=new)
    assert first_misfit(rows) == 4


def test_a_cut_tail_is_found_by_a_head_kept_elsewhere() -> None:
    rows = chain(5)
    head = rows[4]
    assert holds_head(rows, seq=5, hash_start=head.hash[:16])
    assert first_misfit(rows[:4]) is None
    assert not holds_head(rows[:4], seq=5, hash_start=head.hash[:16])


@pytest.mark.parametrize("bad", [1.5, float("nan"), {1: "a"}, AT, b"x", {"deep": [{"er": 0.1}]}])
def test_what_has_no_single_spelling_is_refused(bad: object) -> None:
    with pytest.raises(InvalidPayload):
        canonical_json(bad)


def test_a_moment_without_zone_is_refused() -> None:
    with pytest.raises(InvalidPayload):
        link_hash(seq=1, at=AT.replace(tzinfo=None), kind="shown", subject="x:1", payload={}, prev=BEGINNING)


def test_the_same_moment_in_another_zone_is_the_same_row() -> None:
    there = AT.astimezone(timezone(timedelta(hours=2)))
    facts: dict[str, object] = {"seq": 1, "kind": "shown", "subject": "x:1", "payload": {}, "prev": BEGINNING}
    assert link_hash(at=AT, **facts) == link_hash(at=there, **facts)  # type: ignore[arg-type]


def test_two_spellings_of_one_letter_are_one() -> None:
    assert (
        canonical_json({"note": "Ku\u0308che"}) == canonical_json({"note": "K\u00fcche"}) == '{"note":"Küche"}'.encode()
    )


@given(json_values)
def test_canonical_text_does_not_depend_on_the_order_of_names(value: object) -> None:
    def turned(each: object) -> object:
        if isinstance(each, dict):
            return {key: turned(inner) for key, inner in reversed(each.items())}
        return [turned(inner) for inner in each] if isinstance(each, list) else each

    assert canonical_json(value) == canonical_json(turned(value))


def test_a_concealed_value_says_nothing_without_its_nonce() -> None:
    assert concealing_hash(b"a" * 32, "Maro Lantadze") != concealing_hash(b"b" * 32, "Maro Lantadze")
    assert len(concealing_hash(b"a" * 32, "Maro Lantadze")) == 64
