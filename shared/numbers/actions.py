from datetime import date

from django.db import IntegrityError, connection, transaction
from django.db.models import F

from shared.business.queries import business_on
from shared.numbers.models import Counter
from shared.numbers.series import format_number


def take_number(series: str, *, on: date) -> str:
    """The next number of a series of papers in the year of ``on``, written with the prefix of the day's profile: E-2026-047.

    Belongs into the transaction that issues the paper: if that fails, the number was never taken.
    """
    profile = business_on(on)
    prefix = getattr(profile, f"{series}_prefix", "") if profile else ""
    return format_number(prefix, on.year, take_count(series, year=on.year))


def take_count(series: str, *, year: int) -> int:
    """The next whole number of a series in a year, from 1 on, without a gap. The row stays locked until the transaction ends."""
    if not connection.in_atomic_block:
        raise RuntimeError("A number is taken inside the transaction that uses it.")
    counters = Counter.objects.filter(series=series, year=year)
    if not counters.update(last=F("last") + 1):
        try:
            with transaction.atomic():
                Counter.objects.create(series=series, year=year, last=1)
                return 1
        except IntegrityError:  # somebody opened the series in the same moment
            counters.update(last=F("last") + 1)
    return counters.values_list("last", flat=True).get()
