import csv
from decimal import Decimal

from shared.tables import BYTE_ORDER_MARK, FORMULA_STARTS, table_text


def test_a_table_is_read_back_as_it_was_written():
    text = table_text(("what", "how much"), [("a, “b”\nc", Decimal("-5.00")), ("", None)])
    assert text.startswith(f"{BYTE_ORDER_MARK}what,how much\r\n")
    read = list(csv.reader(text.removeprefix(BYTE_ORDER_MARK).splitlines(keepends=True)))
    assert read == [["what", "how much"], ["a, “b”\nc", "-5.00"], ["", ""]]


def test_text_that_a_spreadsheet_would_run_is_only_text():
    read = list(
        csv.reader(
            table_text(("x",), [(f"{start}SUM(A1)",) for start in FORMULA_STARTS if start not in "\r\n"]).splitlines(
                keepends=True
            )
        )
    )
    assert all(row[0].startswith("'") for row in read[1:])
    assert len(read) == 6
