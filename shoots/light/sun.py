"""Where the sun stands over a kitchen, and a day's light there: rise, set, twilight, noon, by the kitchen's own clock.

Degrees throughout; azimuth clockwise from true north (a compass shows magnetic north: add its declination). The position is
astral's, which carries on the published solar calculations of NOAA; every moment is handed in.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from astral import Observer, refraction_at_zenith
from astral.sun import zenith_and_azimuth

RISE_DEGREES = -0.833  # the upper limb on the horizon: 16' of the sun's half width and 34' of refraction
CIVIL_DEGREES = -6.0  # civil twilight ends
STEP = timedelta(minutes=5)


class InvalidPlace(ValueError):
    """No place on Earth, or a time zone nobody knows; the sentence says which."""


@dataclass(frozen=True, slots=True)
class Place:
    """Degrees north and east (south and west negative), and the time zone its clocks go by."""

    latitude: float
    longitude: float
    time_zone: str

    def __post_init__(self) -> None:
        if not -90 <= self.latitude <= 90:
            raise InvalidPlace(f"A latitude goes from −90 to 90 degrees, not {self.latitude:g}.")
        if not -180 <= self.longitude <= 180:
            raise InvalidPlace(f"A longitude goes from −180 to 180 degrees, not {self.longitude:g}.")
        try:
            ZoneInfo(self.time_zone)
        except (ZoneInfoNotFoundError, ValueError, OSError):
            raise InvalidPlace(f"No time zone is called “{self.time_zone}”.") from None

    @property
    def zone(self) -> ZoneInfo:
        return ZoneInfo(self.time_zone)


@dataclass(frozen=True, slots=True)
class SunPosition:
    """``elevation`` as seen, refraction included; ``true_elevation`` without it. Below 0 the sun is down."""

    azimuth: float
    elevation: float
    true_elevation: float


@dataclass(frozen=True, slots=True)
class Span:
    """A stretch of time, aware and half-open."""

    from_at: datetime
    until_at: datetime

    def holds(self, at: datetime) -> bool:
        return self.from_at <= at < self.until_at


@dataclass(frozen=True, slots=True)
class SunDay:
    """One day of a kitchen's calendar, from its midnight to the next: 23, 24 or 25 hours.

    ``path`` is the sun every five minutes. ``up`` and ``twilight`` (civil, the sun up included) are clipped to the day: none in the
    polar night, the whole day in the polar day, two where the sun sets after midnight.
    """

    place: Place
    day: date
    moments: tuple[datetime, ...]
    path: tuple[SunPosition, ...]
    up: tuple[Span, ...]
    twilight: tuple[Span, ...]
    noon_at: datetime
    noon_elevation: float

    @property
    def begins_at(self) -> datetime:
        return self.moments[0]

    @property
    def ends_at(self) -> datetime:
        return self.moments[-1]

    @property
    def minutes(self) -> int:
        """1,440, or an hour less or more where the clocks change."""
        return round((self.ends_at - self.begins_at).total_seconds() / 60)

    @property
    def is_polar_day(self) -> bool:
        return self.up == (Span(self.begins_at, self.ends_at),)

    @property
    def is_polar_night(self) -> bool:
        return not self.up

    def clock(self, at: datetime) -> datetime:
        """The same moment by the kitchen's clock."""
        return at.astimezone(self.place.zone)

    def after_midnight(self, minutes: int) -> datetime:
        """The moment so many minutes into the day, kept within it. Minutes that pass, not those the clock shows."""
        return self.begins_at + timedelta(minutes=min(max(minutes, 0), self.minutes))

    def minute_of(self, at: datetime) -> int:
        """How many whole minutes into the day."""
        return int((at - self.begins_at).total_seconds() // 60)

    def at_clock(self, shown: time) -> datetime:
        """The moment the kitchen's clock shows this time; the first of two, and an hour later for one that is left out."""
        return datetime.combine(self.day, shown, self.place.zone).astimezone(UTC)


def sun_position(place: Place, at: datetime) -> SunPosition:
    """The sun at an aware moment. Checked against the worked example of NREL/TP-560-34302 within 0.02 degrees."""
    zenith, azimuth = zenith_and_azimuth(
        Observer(place.latitude, place.longitude), at.astimezone(UTC), with_refraction=False
    )
    true = 90 - zenith
    return SunPosition(azimuth % 360, true + refraction_at_zenith(zenith), true)


def spans_above(
    moments: Sequence[datetime], height: Callable[[datetime], float], seen: Sequence[float]
) -> tuple[Span, ...]:
    """When ``height`` is above 0, to the second. ``seen`` is its value at each of ``moments``; a dip between two of them goes unseen."""
    spans: list[Span] = []
    began = moments[0] if seen[0] > 0 else None
    for place in range(1, len(moments)):
        was, now = seen[place - 1] > 0, seen[place] > 0
        if was == now:
            continue
        turn = _crossing(moments[place - 1], moments[place], height, rising=now)
        if now:
            began = turn
        elif began is not None:
            spans.append(Span(began, turn))
            began = None
    if began is not None:
        spans.append(Span(began, moments[-1]))
    return tuple(spans)


def _crossing(low: datetime, high: datetime, height: Callable[[datetime], float], *, rising: bool) -> datetime:
    while high - low > timedelta(seconds=1):
        middle = low + (high - low) / 2
        if (height(middle) > 0) == rising:
            high = middle
        else:
            low = middle
    return high


def sun_day(place: Place, day: date) -> SunDay:
    """The sun's path over a place on a day of its own calendar."""
    begins = datetime.combine(day, time(), place.zone).astimezone(UTC)
    ends = datetime.combine(day + timedelta(days=1), time(), place.zone).astimezone(UTC)
    steps = int((ends - begins) / STEP)
    moments = (*(begins + STEP * step for step in range(steps)), ends)
    path = tuple(sun_position(place, at) for at in moments)

    def above(degrees: float) -> tuple[Span, ...]:
        return spans_above(
            moments,
            lambda at: sun_position(place, at).true_elevation - degrees,
            [sun.true_elevation - degrees for sun in path],
        )

    noon_at = _highest(place, moments, path)
    return SunDay(
        place,
        day,
        moments,
        path,
        above(RISE_DEGREES),
        above(CIVIL_DEGREES),
        noon_at,
        sun_position(place, noon_at).elevation,
    )


def _highest(place: Place, moments: Sequence[datetime], path: Sequence[SunPosition]) -> datetime:
    """When the sun stands highest, to the second, by halving the step round the highest of the path."""
    at = moments[max(range(len(path)), key=lambda step: path[step].true_elevation)]
    step = STEP / 2
    while step > timedelta(seconds=1):
        near = [each for each in (at - step, at, at + step) if moments[0] <= each <= moments[-1]]
        at = max(near, key=lambda each: sun_position(place, each).true_elevation)
        step /= 2
    return at
