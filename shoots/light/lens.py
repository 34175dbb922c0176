"""Lens and motion: magnification, distances, depth, blur, what fits under a ceiling. Thin-lens equations, millimetres.

Source of hyperfocal distance and the near and far limits: any optics text, e.g. Greenleaf, Photographic Optics, 1950. Real lenses
differ by a few centimetres (principal planes apart, focus breathing): allow 5 %. Circles of confusion are common practice, no source.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import atan, ceil, degrees, inf, sqrt

GRAVITY = 9.80665  # m/s², the standard value
INCH = 25.4
ALLOW = 1.05  # what real lenses differ by


class InvalidLens(ValueError):
    """A length, aperture or time that no lens has; the sentence says which."""


@dataclass(frozen=True, slots=True)
class Sensor:
    """Long and short side in millimetres, and the circle of confusion depth is reckoned with."""

    name: str
    long: float
    short: float
    circle: float


SENSORS = {
    "full": Sensor("36 × 24 mm", 36.0, 24.0, 0.030),
    "small": Sensor("23.5 × 15.6 mm", 23.5, 15.6, 0.020),
}


def _positive(**measures: float) -> None:
    for name, value in measures.items():
        if not 0 < value < inf:
            raise InvalidLens(f"{name.replace('_', ' ').capitalize()} must be more than 0.")


def magnification(sensor_side: float, subject_side: float) -> float:
    """m = side of the sensor / side of the subject."""
    _positive(sensor_side=sensor_side, subject_side=subject_side)
    return sensor_side / subject_side


def lens_to_subject(focal_length: float, m: float) -> float:
    """u = f (1 + 1/m), from the front principal plane."""
    _positive(focal_length=focal_length, magnification=m)
    return focal_length * (1 + 1 / m)


def sensor_to_subject(focal_length: float, m: float) -> float:
    """f (2 + m + 1/m)."""
    _positive(focal_length=focal_length, magnification=m)
    return focal_length * (2 + m + 1 / m)


def field_angle(sensor_side: float, focal_length: float, m: float = 0.0) -> float:
    """2 atan(s / (2 f (1 + m))), in degrees."""
    _positive(sensor_side=sensor_side, focal_length=focal_length)
    return degrees(2 * atan(sensor_side / (2 * focal_length * (1 + m))))


def hyperfocal(focal_length: float, f_number: float, circle: float) -> float:
    """H = f² / (N c) + f."""
    _positive(focal_length=focal_length, f_number=f_number, circle=circle)
    return focal_length**2 / (f_number * circle) + focal_length


def near_limit(focal_length: float, distance: float, hyper: float) -> float:
    """u (H − f) / (H + u − 2f)."""
    return distance * (hyper - focal_length) / (hyper + distance - 2 * focal_length)


def far_limit(focal_length: float, distance: float, hyper: float) -> float:
    """u (H − f) / (H − u); without end from the hyperfocal distance on."""
    return inf if distance >= hyper else distance * (hyper - focal_length) / (hyper - distance)


def depth_close_up(f_number: float, circle: float, m: float) -> float:
    """2 N c (1 + m) / m², the whole depth."""
    _positive(f_number=f_number, circle=circle, magnification=m)
    return 2 * f_number * circle * (1 + m) / m**2


def effective_f_number(f_number: float, m: float) -> float:
    """N (1 + m): what the light meter would have to know."""
    return f_number * (1 + m)


def falling_speed(height: float) -> float:
    """v = √(2 g h) in metres a second, after falling ``height`` metres from rest."""
    if height < 0:
        raise InvalidLens("A fall is no less than 0.")
    return sqrt(2 * GRAVITY * height)


def pixel_pitch(sensor_side: float, pixels: int) -> float:
    """Width of a pixel in millimetres."""
    _positive(sensor_side=sensor_side, pixels=pixels)
    return sensor_side / pixels


def blur_on_sensor(speed: float, seconds: float, m: float) -> float:
    """v t m in millimetres, for ``speed`` millimetres a second across the view."""
    return speed * seconds * m


def blur_pixels(speed: float, seconds: float, m: float, pitch: float) -> float:
    """v t m / pitch."""
    return blur_on_sensor(speed, seconds, m) / pitch


def shutter_for(blur: float, speed: float, m: float) -> float:
    """The longest exposure in seconds that blurs by no more than ``blur`` millimetres on the sensor; endless for what stands still."""
    return inf if speed <= 0 else blur / (speed * m)


def print_pixels(millimetres: float, per_inch: int = 300) -> int:
    """Pixels for a printed side, to the nearest. 300 an inch for print at reading distance: common practice, no source; the printer's own sheet decides."""
    return round(millimetres / INCH * per_inch)


def largest_print(pixels: int, per_inch: int = 300) -> float:
    """Millimetres a side can be printed at."""
    return pixels / per_inch * INCH


def room_above(ceiling: float, table: float, rig: float) -> float:
    """What an overhead camera has between subject and sensor: ceiling − table − camera and arm above the sensor. May be less than 0."""
    return ceiling - table - rig


@dataclass(frozen=True, slots=True)
class Reach:
    """One lens over one subject: magnification, distances in millimetres, and whether it fits below a ceiling (with 5 % to spare, or barely)."""

    focal_length: float
    m: float
    lens: float
    sensor: float
    long_side: float
    fits: str


FITS, BARELY, TOO_LONG = "fits", "barely", "too long"


def reach(sensor: Sensor, focal_length: float, subject: float, room: float) -> Reach:
    """How far away a lens stands when ``subject`` mm fill the sensor's short side, against ``room`` mm from subject to sensor."""
    m = magnification(sensor.short, subject)
    away = sensor_to_subject(focal_length, m)
    fits = FITS if away * ALLOW <= room else BARELY if away <= room else TOO_LONG
    return Reach(focal_length, m, lens_to_subject(focal_length, m), away, sensor.long / m, fits)


def shutter_words(seconds: float) -> str:
    """1/250 s, 1/15,200 s, 2 s: an exposure as it is said, rounded to the shorter side."""
    if seconds == inf:
        return "any"
    if seconds >= 1:
        return f"{seconds:.1f} s".replace(".0", "")
    parts = ceil(round(1 / seconds, 6))
    for step, above in ((100, 1000), (10, 200)):
        if parts > above:
            parts = ceil(parts / step) * step
            break
    return f"1/{parts:,} s"
