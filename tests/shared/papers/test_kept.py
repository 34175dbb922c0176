import json
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from shared.papers.kept import as_json, digest_of


@dataclass(frozen=True)
class Part:
    sum: Decimal
    on: date | None


@dataclass(frozen=True)
class Whole:
    name: str
    parts: tuple[Part, ...]


def test_sums_and_days_are_text_and_tuples_lists():
    kept = as_json(Whole("Winter menu", (Part(Decimal("12.50"), date(2026, 11, 27)), Part(Decimal(0), None))))
    assert kept == {"name": "Winter menu", "parts": [{"sum": "12.50", "on": "2026-11-27"}, {"sum": "0", "on": None}]}
    assert json.loads(json.dumps(kept)) == kept


def test_the_fingerprint_is_that_of_the_values_whatever_the_order_of_their_names():
    assert digest_of({"a": 1, "b": "ü"}) == digest_of({"b": "ü", "a": 1}) != digest_of({"a": 1, "b": "u"})
    # printf '{"a": 1}' | sha256sum
    assert digest_of({"a": 1}) == "f9d86028c6e0d64e225186f96acb69338b2c59764df79162107f5c4bb34d1310"
