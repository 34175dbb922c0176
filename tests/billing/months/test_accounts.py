import csv
from datetime import date
from decimal import Decimal as D

from billing.months.accounts import COLUMNS, AccountRow, write_table
from shared.tables import BYTE_ORDER_MARK


def test_the_columns_do_not_change() -> None:
    assert COLUMNS == (
        "kind", "number", "day", "due_on", "party", "party_vat_number", "what", "currency", "tax_category", "tax_percent", "net", "tax", "gross",
        "refers_to", "reference", "shoot",
    )  # fmt: skip
    assert write_table([]) == BYTE_ORDER_MARK + ",".join(COLUMNS) + "\r\n"


def test_text_that_a_spreadsheet_would_run_is_only_text_and_sums_stay_sums() -> None:
    rows = [
        AccountRow(
            kind="cost", number="1", day=date(2026, 11, 3), party=f"{start}SUM(A1)", what="a, “b”\nc", gross=D("-5.00")
        )
        for start in "=+-@\t"
    ]
    read = list(csv.DictReader(write_table(rows).removeprefix(BYTE_ORDER_MARK).splitlines(keepends=True)))
    assert [row["party"] for row in read] == [f"'{start}SUM(A1)" for start in "=+-@\t"]
    assert {(row["gross"], row["day"], row["what"]) for row in read} == {("-5.00", "2026-11-03", "a, “b”\nc")}
