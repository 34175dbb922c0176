"""What a lens does over a subject, each answer with the sum it came from. Millimetres and seconds in, sentences out."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf

from shoots.light import lens
from shoots.light.lens import BARELY, FITS, SENSORS, TOO_LONG, Reach, Sensor

STILL, FALLING, MOVING = "still", "falling", "moving"
OTHER_LENSES = (24, 35, 50, 70, 85, 105)
# What a shot of each distance shows: millimetres along the short side, and per cent of air round it. Common practice, no source.
SUBJECTS = {"tight": (120, 0), "medium": (280, 35), "wide": (600, 20)}
RIG = 110  # millimetres of camera and arm above the sensor


@dataclass(frozen=True, slots=True)
class Question:
    """What is photographed and with what. Lengths in millimetres; ``speed`` in millimetres a second for what moves, ``fall`` in millimetres."""

    sensor: Sensor
    focal_length: float
    f_number: float
    subject: float
    margin_percent: float
    ceiling: float
    table: float
    rig: float
    pixels: int
    motion: str = STILL
    fall: float = 0.0
    speed: float = 0.0
    shutter: float = 250.0
    sharp_pixels: float = 3.0

    @property
    def framed(self) -> float:
        """The subject with the air round it."""
        return self.subject * (1 + self.margin_percent / 100)

    @property
    def room(self) -> float:
        return lens.room_above(self.ceiling, self.table, self.rig)

    @property
    def moves_at(self) -> float:
        """Millimetres a second across the view."""
        if self.motion == FALLING:
            return lens.falling_speed(self.fall / 1000) * 1000
        return self.speed if self.motion == MOVING else 0.0


@dataclass(frozen=True, slots=True)
class Answer:
    """A name, its figure, and how it came about."""

    name: str
    figure: str
    sum: str


def mm(value: float) -> str:
    """891 mm, 9.6 mm, 10.47 m."""
    if value == inf:
        return "without end"
    if value >= 10_000:
        return f"{value / 1000:,.2f} m"
    return f"{value:,.0f} mm" if value >= 100 else f"{value:,.1f} mm"


def reach_of(question: Question) -> Reach:
    """The lens of the question."""
    return lens.reach(question.sensor, question.focal_length, question.framed, question.room)


@dataclass(frozen=True, slots=True)
class OtherLens:
    """The same picture with another focal length."""

    focal_length: int
    sensor: str
    fits: str
    is_too_long: bool


def other_lines(question: Question) -> tuple[OtherLens, ...]:
    """The same picture with other focal lengths, under the same ceiling."""
    found = [(each, lens.reach(question.sensor, each, question.framed, question.room)) for each in OTHER_LENSES]
    return tuple(
        OtherLens(focal, mm(reach.sensor), reach.fits.capitalize(), reach.fits == TOO_LONG) for focal, reach in found
    )


def overhead_words(distance: str, *, ceiling: float, table: float) -> str:
    """The longest of the usual lenses that fits above the table for a shot of this distance (medium where none is said), on each sensor."""
    subject, margin = SUBJECTS.get(distance, SUBJECTS["medium"])
    room = lens.room_above(ceiling, table, RIG)
    longest = {
        sensor.name: max(
            (
                each
                for each in OTHER_LENSES
                if lens.reach(sensor, each, subject * (1 + margin / 100), room).fits == FITS
            ),
            default=0,
        )
        for sensor in SENSORS.values()
    }
    if not any(longest.values()):
        return f"No usual lens fits under a ceiling of {ceiling / 10:,.0f} cm: lower the table."
    if len(set(longest.values())) == 1:
        return f"Under this ceiling lenses up to {max(longest.values())} mm fit."
    said = [f"{focal} mm on {name}" for name, focal in longest.items() if focal]
    return f"Under this ceiling lenses up to {' or '.join(said)} fit."


def fits_words(found: Reach, room: float) -> str:
    """Whether an overhead camera fits under the ceiling, and by how much."""
    if found.fits == FITS:
        return f"Fits, with {mm(room - found.sensor)} to spare"
    if found.fits == BARELY:
        return "Barely: try it before the day, lenses differ by 5%"
    if room <= 0:
        return "No room above the table at all"
    return f"Too long by {mm(found.sensor - room)}: a shorter lens, a lower table, or fewer things in the picture"


def distance_answers(question: Question) -> tuple[Answer, ...]:
    """Size on the sensor, distances, field, and what the ceiling leaves."""
    found, f = reach_of(question), question.focal_length
    m, side = found.m, question.sensor.short
    return (
        Answer(
            "In the picture",
            f"{mm(question.framed)} × {mm(found.long_side)}",
            f"{mm(question.subject)} and {question.margin_percent:g}% air; long side {question.sensor.long:g} ÷ {m:.4f}",
        ),
        Answer("Magnification", f"{m:.4f}", f"m = sensor ÷ subject = {side:g} ÷ {question.framed:,.0f}"),
        Answer("Lens to subject", mm(found.lens), f"f (1 + 1/m) = {f:g} × (1 + 1 ÷ {m:.4f})"),
        Answer("Sensor to subject", mm(found.sensor), f"f (2 + m + 1/m) = {f:g} × (2 + {m:.4f} + 1 ÷ {m:.4f})"),
        Answer(
            "Field, long side",
            f"{lens.field_angle(question.sensor.long, f, m):.1f}°",
            f"2 atan (s ÷ 2f (1 + m)) = 2 atan ({question.sensor.long:g} ÷ {2 * f * (1 + m):.1f})",
        ),
        Answer(
            "Room for an overhead camera",
            mm(question.room) if question.room > 0 else "none",
            f"ceiling − table − camera and arm = {question.ceiling:,.0f} − {question.table:,.0f} − {question.rig:,.0f} mm",
        ),
    )


def depth_answers(question: Question) -> tuple[Answer, ...]:
    """From where to where it is sharp."""
    found, f, stop, circle = reach_of(question), question.focal_length, question.f_number, question.sensor.circle
    hyper = lens.hyperfocal(f, stop, circle)
    near, far = lens.near_limit(f, found.lens, hyper), lens.far_limit(f, found.lens, hyper)
    m = found.m
    return (
        Answer(
            "Sharp, close up",
            mm(lens.depth_close_up(stop, circle, m)),
            f"2 N c (1 + m) ÷ m² = 2 × {stop:g} × {circle:g} × {1 + m:.4f} ÷ {m**2:.5f}",
        ),
        Answer(
            "Sharp from",
            f"{mm(near)} to {mm(far)}",
            "u (H − f) ÷ (H + u − 2f) to u (H − f) ÷ (H − u), from the lens",
        ),
        Answer("Hyperfocal", mm(hyper), f"f² ÷ (N c) + f = {f:g}² ÷ ({stop:g} × {circle:g}) + {f:g}"),
        Answer(
            "Light that arrives", f"as f/{lens.effective_f_number(stop, m):.1f}", f"N (1 + m) = {stop:g} × {1 + m:.4f}"
        ),
    )


def motion_answers(question: Question) -> tuple[Answer, ...]:
    """Blur at the shutter chosen, and the shutter that stops it; nothing for what stands still."""
    speed = question.moves_at
    if speed <= 0:
        return ()
    m = reach_of(question).m
    pitch = lens.pixel_pitch(question.sensor.long, question.pixels)
    blur = lens.blur_pixels(speed, 1 / question.shutter, m, pitch)
    sharp = lens.shutter_for(question.sharp_pixels * pitch, speed, m)
    seen = lens.shutter_for(question.sensor.circle, speed, m)
    fall = (
        (Answer("It falls at", f"{speed / 1000:.2f} m/s", f"√(2 g h) = √(2 × 9.80665 × {question.fall / 1000:g})"),)
        if question.motion == FALLING
        else ()
    )
    return (
        *fall,
        Answer(
            f"Blur at 1/{question.shutter:,.0f} s",
            f"{blur:,.1f} pixels",
            f"v t m ÷ pixel = {speed:,.0f} × {m:.4f} ÷ {question.shutter:,.0f} ÷ {pitch:.5f} mm",
        ),
        Answer(
            "Looks frozen at",
            lens.shutter_words(seen),
            f"blur of {question.sensor.circle:g} mm on the sensor: {question.sensor.circle:g} ÷ ({speed:,.0f} × {m:.4f})",
        ),
        Answer(
            f"Sharp to {question.sharp_pixels:g} pixels at",
            lens.shutter_words(sharp),
            f"{question.sharp_pixels:g} × {pitch:.5f} ÷ ({speed:,.0f} × {m:.4f})",
        ),
    )


def print_answers(question: Question) -> tuple[Answer, ...]:
    """How large the whole frame may be printed."""
    short = round(question.pixels * question.sensor.short / question.sensor.long)
    long_mm, short_mm = lens.largest_print(question.pixels), lens.largest_print(short)
    return (
        Answer(
            "Largest print",
            f"{long_mm:,.0f} × {short_mm:,.0f} mm",
            f"{question.pixels:,} × {short:,} pixels ÷ 300 an inch × 25.4",
        ),
        Answer(
            "A4 with 3 mm bleed asks for",
            f"{lens.print_pixels(216):,} × {lens.print_pixels(303):,} pixels",
            "216 × 303 mm ÷ 25.4 × 300",
        ),
    )
