from datetime import UTC, date, datetime
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from shared.business.actions import start_profile
from shared.business.queries import (
    BusinessClock,
    NoBusinessYet,
    business_on,
    business_or_none,
    current_business,
    days_of,
    missing_for_invoices,
    profiles_read_once,
    seller_of,
    today,
    zone,
)
from tests.factories.shared import BusinessProfileFactory

pytestmark = pytest.mark.django_db
LATE = datetime(2026, 12, 31, 23, 30, tzinfo=UTC)


def test_without_a_profile_there_is_a_sentence_and_the_clock_is_utc() -> None:
    assert business_or_none(LATE) is None
    assert business_on(LATE.date()) is None
    assert (today(LATE), str(zone(LATE))) == (date(2026, 12, 31), "UTC")
    with pytest.raises(NoBusinessYet, match="not filled in yet"):
        current_business(LATE.date())


def test_each_day_has_the_newest_entry_that_had_begun_and_earlier_days_the_first() -> None:
    first, second = BusinessProfileFactory(), BusinessProfileFactory(valid_from=date(2027, 1, 1))
    assert [business_on(day) for day in (date(2020, 5, 1), date(2026, 12, 31), date(2027, 1, 1))] == [
        first,
        first,
        second,
    ]


def test_within_a_page_the_profile_is_read_once_and_anew_after_a_change(django_assert_num_queries: Any) -> None:
    BusinessProfileFactory(city="Lindhafen")
    with profiles_read_once():
        with django_assert_num_queries(1):
            assert [today(LATE), business_or_none(LATE), days_of([LATE])]
        start_profile(BusinessProfileFactory.build(valid_from=date(2026, 6, 1), city="Harrowmere"), at=LATE)
        assert current_business(LATE.date()).city == "Harrowmere"
    with django_assert_num_queries(2):
        assert [business_on(LATE.date()), business_on(LATE.date())]


def test_the_day_turns_where_the_business_is() -> None:
    first = BusinessProfileFactory(time_zone="Europe/Berlin")
    second = BusinessProfileFactory(valid_from=date(2027, 1, 1))
    assert today(LATE) == date(2027, 1, 1)
    assert business_or_none(LATE) == second
    assert business_or_none(datetime(2026, 12, 31, 22, 30, tzinfo=UTC)) == first


def test_the_days_of_many_moments_are_those_of_each_in_one_query(django_assert_num_queries) -> None:
    moments = [LATE, datetime(2026, 12, 31, 22, 30, tzinfo=UTC), datetime(2026, 6, 30, 23, 30, tzinfo=UTC)]
    assert days_of(moments) == {at: today(at) for at in moments}
    BusinessProfileFactory(time_zone="Europe/Berlin")
    BusinessProfileFactory(valid_from=date(2027, 1, 1), time_zone="Pacific/Auckland")
    expected = {at: today(at) for at in moments}
    with django_assert_num_queries(1):
        assert days_of(moments) == expected
    assert list(expected.values()) == [date(2027, 1, 1), date(2026, 12, 31), date(2026, 7, 1)]


def test_what_an_invoice_lacks_is_named_and_a_complete_profile_lacks_nothing() -> None:
    assert missing_for_invoices(BusinessProfileFactory.build()) == ()
    bare = BusinessProfileFactory.build(iban="", vat_number="", tax_number="", street="")
    assert [each.point for each in missing_for_invoices(bare)] == ["226(5)", "226(3)", "common practice"]


def test_a_small_business_needs_its_sentence_in_the_language_of_the_paper() -> None:
    profile = BusinessProfileFactory.build(is_small_business=True, exemption_wording_de="", language="de")
    assert [each.point for each in missing_for_invoices(profile)] == ["226(11)"]
    assert seller_of(profile, "en").exemption_wording.startswith("No VAT is charged")


@pytest.mark.parametrize("month", [1, 3, 7, 10])
def test_the_clock_of_the_business_shows_what_its_zone_shows(month: int) -> None:
    BusinessProfileFactory(time_zone="Europe/Berlin")
    clock, berlin = BusinessClock(), ZoneInfo("Europe/Berlin")
    for day in range(20, 32):
        for hour in range(24):
            at = datetime(2026, month, day, hour, 30, tzinfo=UTC)
            shown, meant = at.astimezone(clock), at.astimezone(berlin)
            assert (shown.replace(tzinfo=None), shown.utcoffset(), shown.dst()) == (
                meant.replace(tzinfo=None),
                meant.utcoffset(),
                meant.dst(),
            )
    typed = datetime(2026, month, 20, 9)
    assert typed.replace(tzinfo=clock).utcoffset() == typed.replace(tzinfo=berlin).utcoffset()
    assert str(clock) == "Europe/Berlin"
