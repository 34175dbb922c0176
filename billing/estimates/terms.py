"""The terms of an estimate as arithmetic: what kind of promise the price is, fees by notice, days until something holds.

All of it common practice, no source: every figure is the studio's own and printed on the estimate. Consumer and contract law differ by
country; have the terms checked by a licensed adviser.
"""

from collections.abc import Container
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from enum import StrEnum

from shared.dates import NO_HOLIDAYS, working_days_before
from shared.money import ZERO, round_money


class InvalidTerms(ValueError):
    """A percentage or a number of days that cannot be a term."""


class PriceKind(StrEnum):
    """Fixed, except costs marked at most; or an estimate that may rise by a stated percentage."""

    FIXED = "fixed"
    TOLERANCE = "tolerance"


def highest_without_a_yes(agreed: Decimal, kind: PriceKind, tolerance_percent: Decimal = ZERO) -> Decimal:
    """The most that may be billed without the client's new yes: 2,000.00 with 10% is 2,200.00."""
    return agreed if kind == PriceKind.FIXED else round_money(agreed * (100 + tolerance_percent) / 100)


@dataclass(frozen=True, slots=True)
class CancellationTerms:
    """Free until ``free_days`` working days before; then ``percent`` of the fee; on the day and later ``day_percent``. Costs spent are always due."""

    free_days: int
    percent: Decimal
    day_percent: Decimal
    is_weather_free_once: bool = True

    def __post_init__(self) -> None:
        if self.free_days < 0 or not 0 <= self.percent <= self.day_percent <= 100:
            raise InvalidTerms(
                "A cancellation costs 0 to 100%, on the day at least as much as before, and notice is 0 days or more."
            )


@dataclass(frozen=True, slots=True)
class NoticeFee:
    """What calling off or putting off a shoot costs: ``fee`` for the work, ``costs`` already spent, and how it came about."""

    working_days: int
    percent: Decimal
    fee: Decimal
    costs: Decimal
    is_free_for_weather: bool = False

    @property
    def total(self) -> Decimal:
        return self.fee + self.costs


def cancellation_fee(
    terms: CancellationTerms,
    *,
    shoot_on: date,
    notice_on: date,
    fee_net: Decimal,
    costs_net: Decimal = ZERO,
    holidays: Container[date] = NO_HOLIDAYS,
) -> NoticeFee:
    """What a cancellation costs before VAT. ``fee_net`` is the fee the percentage is taken of, ``costs_net`` what was spent already."""
    working_days = working_days_before(shoot_on, notice_on, holidays)
    if notice_on >= shoot_on:
        percent = terms.day_percent
    else:
        percent = ZERO if working_days >= terms.free_days else terms.percent
    return NoticeFee(working_days, percent, round_money(fee_net * percent / 100), costs_net)


def postponement_fee(
    terms: CancellationTerms,
    *,
    shoot_on: date,
    notice_on: date,
    fee_net: Decimal,
    costs_net: Decimal = ZERO,
    is_for_weather: bool = False,
    weather_used: int = 0,
    holidays: Container[date] = NO_HOLIDAYS,
) -> NoticeFee:
    """As a cancellation; but the first postponement for weather is free if the terms say so. Costs spent are due all the same."""
    by_notice = cancellation_fee(
        terms, shoot_on=shoot_on, notice_on=notice_on, fee_net=fee_net, costs_net=costs_net, holidays=holidays
    )
    if is_for_weather and terms.is_weather_free_once and weather_used == 0:
        return NoticeFee(by_notice.working_days, ZERO, round_money(ZERO), costs_net, is_free_for_weather=True)
    return by_notice


def valid_until(issued_on: date, days: int) -> date:
    """The last day, inclusive, on which the estimate can be accepted."""
    return issued_on + timedelta(days=days)


def can_be_accepted(valid_last_on: date | None, on: date) -> bool:
    """Whether an estimate valid until (inclusive) can still be accepted on a day; without such a day always."""
    return valid_last_on is None or on <= valid_last_on
