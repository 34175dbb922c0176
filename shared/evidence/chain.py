"""The evidence chain: each row carries the hash of the row before it, so a change anywhere shows.

hash = SHA-256(canonical({at, kind, payload, prev, seq, subject})), prev of row 1 is 64 zeros. Canonical text is JSON with keys
sorted by code point, separators "," and ":", UTF-8 unescaped, strings in Unicode form NFC, no floats, moments in UTC to the second.
"""

import hashlib
import json
import unicodedata
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import NewType

ChainHash = NewType("ChainHash", str)
BEGINNING = ChainHash("0" * 64)


class InvalidPayload(ValueError):
    """Something that has no single canonical text: a float, a moment without zone, a key that is no string."""


@dataclass(frozen=True, slots=True)
class ChainRow:
    """One row as it stands in the log."""

    seq: int
    at: datetime
    kind: str
    subject: str
    payload: Mapping[str, object]
    prev: str
    hash: str


def written_moment(at: datetime) -> str:
    """An aware moment as the chain writes it: UTC to the second, 2027-03-01T09:00:00Z."""
    if at.tzinfo is None:
        raise InvalidPayload("A moment in the evidence has a time zone.")
    return at.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def canonical_json(value: object) -> bytes:
    """The one spelling of ``value`` that is hashed. Raises InvalidPayload on what has no single spelling."""
    return json.dumps(
        _normal(value), sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False
    ).encode()


def link_hash(
    *, seq: int, at: datetime, kind: str, subject: str, payload: Mapping[str, object], prev: str
) -> ChainHash:
    """The hash of one row, 64 hex digits, from its own content and the hash of the row before."""
    content = {"at": written_moment(at), "kind": kind, "payload": payload, "prev": prev, "seq": seq, "subject": subject}
    return ChainHash(hashlib.sha256(canonical_json(content)).hexdigest())


def first_misfit(rows: Iterable[ChainRow]) -> int | None:
    """The seq of the first row that does not fit its place, or None when the whole chain holds.

    A changed row is named itself; of a removed row the one after it is named. A tail that was cut off is invisible here:
    ask ``holds_head`` with a head kept elsewhere.
    """
    prev, expected = BEGINNING, 1
    for row in rows:
        if row.seq != expected or row.prev != prev:
            return row.seq
        prev = link_hash(seq=row.seq, at=row.at, kind=row.kind, subject=row.subject, payload=row.payload, prev=row.prev)
        if row.hash != prev:
            return row.seq
        expected += 1
    return None


def holds_head(rows: Iterable[ChainRow], *, seq: int, hash_start: str) -> bool:
    """Whether a head printed on a paper (seq and the first hex digits of its hash) is still in the chain."""
    return any(row.seq == seq and row.hash.startswith(hash_start) for row in rows)


def concealing_hash(nonce: bytes, value: str) -> str:
    """What the chain keeps of a personal value: SHA-256(nonce + value). Without the nonce it says nothing."""
    return hashlib.sha256(nonce + unicodedata.normalize("NFC", value).encode()).hexdigest()


def _normal(value: object) -> object:
    if value is None or isinstance(value, (bool, int)):
        return value
    if isinstance(value, str):
        return unicodedata.normalize("NFC", value)
    if isinstance(value, Mapping):
        if not all(isinstance(key, str) for key in value):
            raise InvalidPayload("Names in a payload are strings.")
        return {unicodedata.normalize("NFC", key): _normal(each) for key, each in value.items()}
    if isinstance(value, (list, tuple)):
        return [_normal(each) for each in value]
    raise InvalidPayload(
        f"A payload holds text, whole numbers, yes and no, lists and names; not {type(value).__name__}. Write it as text."
    )
