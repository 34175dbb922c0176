"""The month as a table for the accountant: invoices, credit notes, payments and costs, one row a VAT rate, in columns that do not change.

UTF-8 with a byte order mark, commas, points in sums, ISO dates. Text that a spreadsheet would take for a formula begins with an apostrophe.
"""

from collections.abc import Iterable
from dataclasses import astuple, dataclass, fields
from datetime import date
from decimal import Decimal

from shared.tables import table_text


@dataclass(frozen=True, slots=True, kw_only=True)
class AccountRow:
    """One row. A final invoice counts what its deposits have not taxed; credit notes are negative, so that columns add up by kind."""

    kind: str
    number: str
    day: date
    due_on: date | None = None
    party: str = ""
    party_vat_number: str = ""
    what: str = ""
    currency: str = "EUR"
    tax_category: str = ""
    tax_percent: Decimal | None = None
    net: Decimal | None = None
    tax: Decimal | None = None
    gross: Decimal | None = None
    refers_to: str = ""
    reference: str = ""
    shoot: str = ""


COLUMNS = tuple(field.name for field in fields(AccountRow))


def write_table(rows: Iterable[AccountRow]) -> str:
    """The table as text, with its byte order mark and a line of column names."""
    return table_text(COLUMNS, map(astuple, rows))
