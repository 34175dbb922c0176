"""Last day of a term and payment days. No outside source: worked examples recomputed by script from the calendar (common practice, no source).

The readings of "30 EOM" (days from the end of month) are the three the trade uses; which one holds is kept with the term.
"""

from datetime import date

import pytest

from shared.dates import PaymentReading, add_months, last_day_of_term, payment_due, working_days_before


@pytest.mark.parametrize(
    ("first", "months", "last", "no_use_from"),
    [
        (date(2026, 3, 15), 12, date(2027, 3, 14), date(2027, 3, 15)),
        (date(2024, 2, 29), 12, date(2025, 2, 28), date(2025, 3, 1)),
        (date(2027, 1, 31), 1, date(2027, 2, 28), date(2027, 3, 1)),
    ],
)
def test_the_last_day_of_a_term_is_the_day_before_its_anniversary(
    first: date, months: int, last: date, no_use_from: date
) -> None:
    assert last_day_of_term(first, months) == last
    assert add_months(first, months) == no_use_from


@pytest.mark.parametrize(
    ("reading", "due"),
    [
        (PaymentReading.DAYS_THEN_MONTH_END, date(2026, 3, 31)),
        (PaymentReading.MONTH_END_THEN_DAYS, date(2026, 3, 2)),
        (PaymentReading.END_OF_NEXT_MONTH, date(2026, 2, 28)),
    ],
)
def test_thirty_days_end_of_month_from_31_january_2026(reading: PaymentReading, due: date) -> None:
    assert payment_due(date(2026, 1, 31), 30, reading) == due


def test_working_days_before_friday_18_december_2026() -> None:
    shoot = date(2026, 12, 18)
    assert [working_days_before(shoot, date(2026, 12, each)) for each in (11, 14, 18)] == [5, 4, 0]
