"""Tables that any spreadsheet opens: UTF-8 with a byte order mark, commas, points in figures, ISO dates (RFC 4180 section 2)."""

import csv
import io
from collections.abc import Iterable, Sequence
from decimal import Decimal

BYTE_ORDER_MARK = "\ufeff"
# What a spreadsheet may run: OWASP, "CSV Injection", from memory.
FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n")


def table_text(columns: Sequence[str], rows: Iterable[Sequence[object]]) -> str:
    """The table as text, with its byte order mark and a line of column names. Text that a spreadsheet would take for a formula begins with an apostrophe."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(columns)
    writer.writerows([_cell(value) for value in row] for row in rows)
    return BYTE_ORDER_MARK + out.getvalue()


def _cell(value: object) -> str:
    if value is None:
        return ""
    if isinstance(value, Decimal):
        return format(value, "f")
    text = str(value)
    return f"'{text}" if text.startswith(FORMULA_STARTS) else text
