from collections.abc import Generator, Iterable
from contextlib import contextmanager
from contextvars import ContextVar
from datetime import UTC, date, datetime, timedelta, tzinfo
from functools import cached_property
from zoneinfo import ZoneInfo

from shared.business.models import BusinessProfile
from shared.business.particulars import InvoiceSeller, Missing, missing_from_business
from shared.errors import Refusal


class NoBusinessYet(Refusal):
    """Nobody has filled in the business profile."""

    def __init__(self) -> None:
        super().__init__(
            "The business profile is not filled in yet.",
            "Nothing was changed.",
            "Fill in the business profile first: its name, address and time zone go on every paper.",
        )


class _Kept:
    """The entries as they were read, None until somebody asks."""

    profiles: list[BusinessProfile] | None = None


_kept: ContextVar[_Kept | None] = ContextVar("profiles of a request", default=None)


@contextmanager
def profiles_read_once() -> Generator[None]:
    """Within it the entries of the profile are read once: a page asks a dozen times for its day, its zone and its name."""
    token = _kept.set(_Kept())
    try:
        yield
    finally:
        _kept.reset(token)


def forget_profiles() -> None:
    """For actions that change the profile: who asks next reads it anew."""
    if kept := _kept.get():
        kept.profiles = None


def all_profiles() -> list[BusinessProfile]:
    """The entries of the profile, the oldest first. To be read, not to be changed: a page shares them."""
    kept = _kept.get()
    if kept is None:
        return list(BusinessProfile.objects.all())
    if kept.profiles is None:
        kept.profiles = list(BusinessProfile.objects.all())
    return kept.profiles


def business_on(on: date) -> BusinessProfile | None:
    """The profile of a day: the newest not after it, or the first one for days before there was any; None while there is none."""
    return profile_on(on, all_profiles())


def profile_on(on: date, profiles: list[BusinessProfile]) -> BusinessProfile | None:
    """``business_on`` among entries at hand, the oldest first: for many days with one query."""
    begun = [profile for profile in profiles if profile.valid_from <= on] or profiles[:1]
    return begun[-1] if begun else None


def current_business(on: date) -> BusinessProfile:
    """The profile of a day; raises ``NoBusinessYet``."""
    profile = business_on(on)
    if profile is None:
        raise NoBusinessYet
    return profile


def business_or_none(at: datetime) -> BusinessProfile | None:
    """The profile at a moment, by the calendar of the business's own zone; None while there is none."""
    profile = business_on(at.astimezone(UTC).date())
    if profile is None:
        return None
    day = at.astimezone(ZoneInfo(profile.time_zone)).date()
    return profile if day == at.astimezone(UTC).date() else business_on(day)


def zone(at: datetime) -> ZoneInfo:
    """The time zone of the business at a moment; UTC while there is no profile."""
    profile = business_or_none(at)
    return ZoneInfo(profile.time_zone if profile else "UTC")


class BusinessClock(tzinfo):
    """The zone of the business, looked up when the first moment is shown: most of what a page fetches, its pictures above all, shows none."""

    @cached_property
    def _zone(self) -> ZoneInfo:
        return zone(datetime.now(UTC))

    def fromutc(self, dt: datetime) -> datetime:
        return self._zone.fromutc(dt.replace(tzinfo=self._zone))

    def utcoffset(self, dt: datetime | None) -> timedelta | None:
        return self._zone.utcoffset(dt)

    def dst(self, dt: datetime | None) -> timedelta | None:
        return self._zone.dst(dt)

    def tzname(self, dt: datetime | None) -> str | None:
        return self._zone.tzname(dt)

    def __str__(self) -> str:  # the name the database asks for
        return self._zone.key


def today(at: datetime) -> date:
    """The calendar day of a moment where the business is: the day that goes on its papers."""
    return at.astimezone(zone(at)).date()


def days_of(moments: Iterable[datetime]) -> dict[datetime, date]:
    """The calendar day of each moment, as ``today`` tells it, in one query for all of them."""
    moments = list(moments)
    profiles = all_profiles() if moments else []
    return {at: _day_of(at, profiles) for at in moments}


def _day_of(at: datetime, profiles: list[BusinessProfile]) -> date:
    day = at.astimezone(UTC).date()
    for _ in range(2):  # the second time by the profile of the day the first has told
        if profile := profile_on(day, profiles):
            day = at.astimezone(ZoneInfo(profile.time_zone)).date()
    return day


def seller_of(profile: BusinessProfile, language: str) -> InvoiceSeller:
    """The profile as an invoice in a language names it."""
    wording = profile.exemption_wording_de if language == "de" else profile.exemption_wording_en
    return InvoiceSeller(
        name=profile.legal_name,
        street=profile.street,
        postcode=profile.postcode,
        city=profile.city,
        country=profile.country,
        vat_number=profile.vat_number,
        tax_number=profile.tax_number,
        register_number=profile.register_number,
        is_small_business=profile.is_small_business,
        exemption_wording=wording,
        iban=profile.iban,
    )


def missing_for_invoices(profile: BusinessProfile) -> tuple[Missing, ...]:
    """What the profile lacks for a legal invoice in its own language."""
    return missing_from_business(seller_of(profile, profile.language))
