import pytest

from shared.numbers.series import InvalidNumber, format_number


@pytest.mark.parametrize(
    ("prefix", "year", "counter", "width", "number"),
    [
        ("E-", 2026, 47, 3, "E-2026-047"),
        ("", 2026, 35, 3, "2026-035"),
        ("C-", 2027, 1, 5, "C-2027-00001"),
        ("", 2026, 1234, 3, "2026-1234"),
    ],
)
def test_a_number_is_prefix_year_and_counter(prefix: str, year: int, counter: int, width: int, number: str) -> None:
    assert format_number(prefix, year, counter, width) == number


@pytest.mark.parametrize(
    ("prefix", "year", "counter"),
    [("e-", 2026, 1), ("E 1", 2026, 1), ("E-", 26, 1), ("E-", 2026, 0), ("LONGPREFIX-", 2026, 1)],
)
def test_what_makes_no_number_is_refused(prefix: str, year: int, counter: int) -> None:
    with pytest.raises(InvalidNumber):
        format_number(prefix, year, counter)
