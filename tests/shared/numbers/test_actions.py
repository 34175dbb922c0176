import threading
from datetime import date

import pytest
from django.db import connection, transaction

from shared.numbers.actions import take_count, take_number
from tests.factories.shared import BusinessProfileFactory

pytestmark = [pytest.mark.both, pytest.mark.django_db]
DAY = date(2026, 11, 14)


def test_a_number_carries_the_prefix_of_the_days_profile_and_starts_anew_each_year() -> None:
    BusinessProfileFactory(estimate_prefix="E-", invoice_prefix="")
    BusinessProfileFactory(valid_from=date(2027, 1, 1), estimate_prefix="Q-")
    with transaction.atomic():
        taken = [
            take_number("estimate", on=DAY),
            take_number("estimate", on=DAY),
            take_number("invoice", on=DAY),
            take_number("estimate", on=date(2027, 1, 2)),
        ]
    assert taken == ["E-2026-001", "E-2026-002", "2026-001", "Q-2027-001"]


def test_a_number_of_a_paper_that_was_not_issued_is_given_to_the_next() -> None:
    with pytest.raises(RuntimeError), transaction.atomic():  # noqa: PT012  what was written before the mistake is the point
        take_number("invoice", on=DAY)
        raise RuntimeError("the paper was not made")
    with transaction.atomic():
        assert take_number("invoice", on=DAY) == "2026-001"


@pytest.mark.django_db(transaction=True)
def test_a_number_outside_a_transaction_is_refused() -> None:
    with pytest.raises(RuntimeError, match="inside the transaction"):
        take_count("invoice", year=2026)


@pytest.mark.django_db(transaction=True)
def test_three_people_at_once_get_no_twin_and_no_gap() -> None:
    taken: list[int] = []

    def many() -> None:
        try:
            for _ in range(10):
                with transaction.atomic():
                    taken.append(take_count("picture:WL-0226", year=2026))
        finally:
            connection.close()

    people = [threading.Thread(target=many) for _ in range(3)]
    [person.start() for person in people]
    [person.join() for person in people]
    assert sorted(taken) == list(range(1, 31))
