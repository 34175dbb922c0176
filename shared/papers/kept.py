"""What a paper is printed from, as it is kept: a frozen value as JSON, and the fingerprint of what was kept."""

import hashlib
import json
from dataclasses import fields, is_dataclass
from datetime import date
from decimal import Decimal
from typing import Any


def as_json(value: Any) -> Any:
    """A frozen value, or a part of one, as JSON holds it: sums and days as text, tuples as lists."""
    if is_dataclass(value) and not isinstance(value, type):
        return {field.name: as_json(getattr(value, field.name)) for field in fields(value)}
    if isinstance(value, tuple):
        return [as_json(each) for each in value]
    if isinstance(value, Decimal | date):
        return str(value)
    return value


def digest_of(kept: object) -> str:
    """SHA-256 of kept JSON, 64 hex digits; the order of keys is no difference."""
    return hashlib.sha256(json.dumps(kept, sort_keys=True, ensure_ascii=False).encode()).hexdigest()
