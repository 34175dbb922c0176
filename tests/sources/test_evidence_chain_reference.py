"""Evidence chain: two rows whose hashes were worked out by an independent reference before this code was written.

Hash: NIST FIPS 180-4 (August 2015), SHA-256. Text: RFC 8259 (December 2017), JSON in UTF-8, clause 8.1; Unicode Standard Annex 15,
normal form NFC. The order of names and the separators are the project's own rule.

Row 2: the written reference has the digit 1 where this file has the a of "5b56310a". A different input would change nearly every digit, so
that is a slip of the pen; the value here was recomputed from the canonical text with coreutils' sha256sum.
"""

from datetime import UTC, datetime

from shared.evidence.chain import BEGINNING, ChainRow, canonical_json, first_misfit, link_hash

ROW_1 = "8f2ba3f999292ba980add4c4c57531a31fdebcff43e1a2e97c020cf3dcea8eee"
ROW_2 = "70cd106f79008aae7264ba81d6f46d6e05be5a315b56310a10a540c202ae2d1c"


def rows() -> list[ChainRow]:
    first = datetime(2027, 3, 1, 9, 0, 0, tzinfo=UTC)
    second = datetime(2027, 3, 1, 9, 2, 10, tzinfo=UTC)
    return [
        ChainRow(1, first, "shown", "release:7", {"document": "ab" * 32, "language": "de"}, "0" * 64, ROW_1),
        ChainRow(2, second, "signed", "release:7", {"person": "cd" * 32, "note": "Küche"}, ROW_1, ROW_2),
    ]


def test_the_two_reference_rows_have_their_reference_hashes() -> None:
    assert BEGINNING == "0" * 64
    for row in rows():
        assert (
            link_hash(seq=row.seq, at=row.at, kind=row.kind, subject=row.subject, payload=row.payload, prev=row.prev)
            == row.hash
        )
    assert first_misfit(rows()) is None


def test_text_is_hashed_as_written_and_names_are_sorted_by_code_point() -> None:
    assert canonical_json({"b": 1, "ä": None, "a": ["Küche", True]}) == '{"a":["Küche",true],"b":1,"ä":null}'.encode()
