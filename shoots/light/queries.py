"""What is read for the light of a shoot: the kitchen's windows, the set-up, the day, and the light of each planned shot."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from django.db.models import QuerySet

from clients.models import Kitchen, KitchenWindow
from shoots.brief.models import Shoot
from shoots.light.camera_side import wanted_light
from shoots.light.drawing import Drawing, draw_room
from shoots.light.lens import Sensor
from shoots.light.lens_answers import overhead_words
from shoots.light.models import Camera, LightPlan, OwnLens, WindowMeasures
from shoots.light.setting import DARK, DUSK, LAMPLIGHT, SUN, Setting, hours_of, light_at, stretches, three_moments
from shoots.light.shot_lens import USUAL_BODY, USUAL_LENSES, Body, Glass, Room, ShotAsk, ShotLens, shot_lens
from shoots.light.sun import InvalidPlace, Place, SunDay, sun_day
from shoots.light.window import Table, Window, WindowDay
from shoots.light.wording import (
    asked_words,
    clock_change_words,
    clock_words,
    glass_words,
    headline,
    kind_words,
    light_name,
    measures_words,
    now_words,
    places_words,
    points_to,
    reach_words,
    shot_words,
    span_words,
    spans_words,
    stray_words,
    sun_words,
    table_words,
    when_words,
)
from shoots.plan.exposure import seconds_of
from shoots.plan.models import Shot, ShotKind
from shoots.plan.queries import day_count
from shoots.plan.shots import FIRST_LIGHT, grey_card

WIDTH_CM, HEIGHT_CM = 120, 120  # of a window that was not measured; the page says so
MOST_DAYS = 31
PLACEMENT = (
    "window_bearing", "window_number", "table_cm", "table_distance_cm", "table_depth_cm", "table_width_cm", "table_aside_cm", "ceiling_cm",
    "lamp_hour", "cook_hour",
)  # fmt: skip
STEP = 15  # minutes of the slider


def light_shoot(pk: int) -> QuerySet[Shoot]:
    """One shoot with its kitchen, the windows and their measures, and its set-ups of light."""
    return (
        Shoot.objects.filter(pk=pk)
        .select_related("kitchen", "client")
        .prefetch_related("kitchen__windows", "kitchen__window_measures", "light_plans")
    )


def plan_of(shoot: Shoot) -> LightPlan:
    """The set-up in this kitchen as written down; until then (not saved) table, lamp and cook as at the last shoot here, or as assumed."""
    own = next((plan for plan in shoot.light_plans.all() if plan.kitchen_id == shoot.kitchen_id), None)
    if own is not None:
        return own
    found = LightPlan(shoot=shoot, kitchen=shoot.kitchen)
    last = LightPlan.objects.filter(kitchen=shoot.kitchen).order_by("-changed_at").first() if shoot.kitchen else None
    if last is not None:
        for name in PLACEMENT:
            setattr(found, name, getattr(last, name))
    vars(found)["as_last_here"] = last is not None
    return found


@dataclass(frozen=True)
class KitchenGlass:
    """A window of the kitchen, its place among those with the same bearing, and its measures, assumed (not saved) until they are written down."""

    row: KitchenWindow
    number: int
    measures: WindowMeasures

    @property
    def name(self) -> str:
        return str(self.row)

    @property
    def key(self) -> tuple[int, int]:
        """How the window is named in what is written down."""
        return self.row.bearing_degrees, self.number

    @property
    def is_measured(self) -> bool:
        return bool(self.row.width_cm and (self.row.height_cm or self.measures.head_cm))

    @property
    def value(self) -> Window:
        """The window in metres."""
        measures = self.measures
        head = measures.head_cm or measures.sill_cm + (self.row.height_cm or HEIGHT_CM)
        return Window(
            bearing=self.row.bearing_degrees,
            width=(self.row.width_cm or WIDTH_CM) / 100,
            sill=measures.sill_cm / 100,
            head=max(head, measures.sill_cm + 1) / 100,
            overhang_depth=measures.overhang_depth_cm / 100,
            overhang_above=measures.overhang_above_cm / 100,
            building_degrees=measures.building_degrees,
        )


def windows_of(shoot: Shoot) -> list[KitchenGlass]:
    """The windows of the shoot's kitchen with their measures."""
    if shoot.kitchen is None:
        return []
    measured = {(each.bearing_degrees, each.number): each for each in shoot.kitchen.window_measures.all()}
    found, seen = [], Counter[int]()
    for row in shoot.kitchen.windows.all():
        seen[row.bearing_degrees] += 1
        key = row.bearing_degrees, seen[row.bearing_degrees]
        assumed = WindowMeasures(kitchen=shoot.kitchen, bearing_degrees=key[0], number=key[1])
        found.append(KitchenGlass(row, key[1], measured.get(key, assumed)))
    return found


def chosen_window(shoot: Shoot, plan: LightPlan) -> KitchenGlass | None:
    """The window the table stands at: the one written down, else the kitchen's first."""
    windows = windows_of(shoot)
    wanted = plan.window_bearing, plan.window_number
    return next((each for each in windows if each.key == wanted), windows[0] if windows else None)


def place_of(kitchen: Kitchen | None) -> Place | None:
    """Where the kitchen is, if it is known and can be."""
    if kitchen is None or kitchen.latitude is None or kitchen.longitude is None:
        return None
    try:
        return Place(float(kitchen.latitude), float(kitchen.longitude), kitchen.time_zone)
    except InvalidPlace:
        return None


def days_of(shoot: Shoot) -> list[date]:
    """The days of the shoot, a month of them at most."""
    if shoot.first_on is None:
        return []
    return [shoot.first_on + timedelta(days=each) for each in range(min(day_count(shoot), MOST_DAYS))]


def missing_for_light(shoot: Shoot, day: date | None) -> tuple[str, ...]:
    """What is not known and would say more, each as half a sentence."""
    found = []
    if shoot.kitchen is None:
        found.append("no kitchen is chosen")
    elif shoot.kitchen.latitude is not None and shoot.kitchen.longitude is not None and not place_of(shoot.kitchen):
        found.append("the kitchen’s position or time zone cannot be")
    elif place_of(shoot.kitchen) is None:
        found.append("the kitchen’s position is not written down")
    if day is None:
        found.append("the shoot has no date")
    return tuple(found)


def setting_of(shoot: Shoot, plan: LightPlan, sun: SunDay | None) -> Setting:
    """The set-up as the value that light is reckoned from."""
    chosen = chosen_window(shoot, plan)
    return Setting(
        kind=plan.kind,
        window=chosen.value if chosen else None,
        table=Table(
            height=plan.table_cm / 100,
            distance=plan.table_distance_cm / 100,
            depth=plan.table_depth_cm / 100,
            width=plan.table_width_cm / 100,
            aside=plan.table_aside_cm / 100,
        ),
        lamp_hour=plan.lamp_hour,
        cook_hour=plan.cook_hour,
        sun=sun,
    )


@dataclass(frozen=True)
class WindowLine:
    """One window of the kitchen in words: its measures, when the sun is on its glass, and what light a table there would have."""

    name: str
    looks: str
    measures: str
    glass: str
    reach: str
    table: str
    is_chosen: bool


@dataclass(frozen=True)
class StretchLine:
    """A stretch of the day: when, what light, and the place for each light by name."""

    when: str
    kind: str
    is_hard: bool
    places: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class ShotGroup:
    """Planned shots that have the same light from the same place, in the order of the list."""

    asked: str
    where: str
    shots: tuple[Shot, ...]


@dataclass(frozen=True)
class Frame:
    """One moment: the drawing with its caption; ``clock`` is empty where the day is not known."""

    minute: int
    clock: str
    words: str
    drawing: Drawing


@dataclass(frozen=True)
class Slider:
    """The stretch of the day to look at, in minutes after midnight; its full hours as links; what the clock shows at each step."""

    first: int
    last: int
    minute: int
    clock: str
    hours: tuple[tuple[int, str], ...]
    clocks: str


@dataclass(frozen=True)
class DayOfLight:
    """Everything a page shows of a day's light."""

    plan: LightPlan
    setting: Setting
    hours: WindowDay | None
    missing: tuple[str, ...]
    headline: str
    sun_words: str
    clock_change: str
    twilight: str
    noon: str
    soft: str
    hard: str
    stray: str
    has_place: bool
    windows: tuple[WindowLine, ...]


def day_of_light(shoot: Shoot, day: date | None) -> DayOfLight:
    """The light of one day, without asking the database again."""
    plan, place = plan_of(shoot), place_of(shoot.kitchen)
    sun = sun_day(place, day) if place and day else None
    setting = setting_of(shoot, plan, sun)
    hours = hours_of(setting)
    missing = missing_for_light(shoot, day)
    windows = _reckoned(shoot, plan, setting, hours)
    return DayOfLight(
        plan=plan,
        setting=setting,
        hours=hours,
        missing=missing,
        headline=headline(setting, hours, missing),
        sun_words=sun_words(sun) if sun else "",
        clock_change=clock_change_words(sun) if sun else "",
        twilight=spans_words(sun, sun.twilight) if sun else "",
        noon=f"{clock_words(sun, sun.noon_at)}, {sun.noon_elevation:.0f}° high" if sun and sun.up else "",
        soft=spans_words(sun, hours.soft) if sun and hours else "",
        hard=spans_words(sun, hours.hard) if sun and hours else "",
        stray=stray_words(
            setting,
            [
                (each.glass.name, each.hours.on_glass)
                for each in windows
                if not each.is_chosen and each.hours and each.hours.on_glass
            ],
        ),
        has_place=place is not None,
        windows=tuple(_window_line(each) for each in windows),
    )


@dataclass(frozen=True)
class _Reckoned:
    """A window of the kitchen, the set-up as if the table stood there, and its hours."""

    glass: KitchenGlass
    setting: Setting
    hours: WindowDay | None
    is_chosen: bool


def _reckoned(shoot: Shoot, plan: LightPlan, setting: Setting, hours: WindowDay | None) -> list[_Reckoned]:
    chosen = chosen_window(shoot, plan)
    found = []
    for each in windows_of(shoot):
        is_chosen = chosen is not None and each.key == chosen.key
        own = setting if is_chosen else replace(setting, window=each.value)
        found.append(_Reckoned(each, own, hours if is_chosen else hours_of(own), is_chosen))
    return found


def _window_line(each: _Reckoned) -> WindowLine:
    glass, bearing = each.glass, each.glass.row.bearing_degrees
    return WindowLine(
        name=glass.name,
        looks=f"{points_to(bearing)}, {bearing}°",
        measures=measures_words(glass.value, is_measured=glass.is_measured),
        glass=glass_words(each.setting, each.hours),
        reach=reach_words(each.setting, each.hours),
        table="" if each.setting.by_lamp else table_words(each.setting, each.hours),
        is_chosen=each.is_chosen,
    )


def slider_of(light: DayOfLight, shoot: Shoot, wanted: str) -> Slider | None:
    """What the slider runs over: from dawn to dusk, to the quarter hour. Nothing where there is no daylight, or the day is not known."""
    sun = light.setting.sun
    if sun is None or not sun.twilight:
        return None
    first = sun.minute_of(sun.twilight[0].from_at) // STEP * STEP
    last = min(-(-sun.minute_of(sun.twilight[-1].until_at) // STEP) * STEP, sun.minutes)
    start = sun.minute_of(sun.at_clock(shoot.from_time)) if shoot.from_time else sun.minute_of(sun.noon_at)
    typed = int(wanted) if wanted.isdecimal() and len(wanted) < 5 else start
    minute = min(max(typed // STEP * STEP, first), last)
    shown = {each: clock_words(sun, sun.after_midnight(each)) for each in range(first, last + 1, STEP)}
    hours = tuple((each, clock) for each, clock in shown.items() if clock.endswith(":00"))
    return Slider(first, last, minute, shown[minute], hours, " ".join(shown.values()))


def frame_of(light: DayOfLight, shoot: Shoot, minute: int | None) -> Frame:
    """The room at a minute of the day; without one as far as it can be drawn."""
    setting, sun = light.setting, light.setting.sun
    at = sun.after_midnight(minute) if sun and minute is not None else None
    now = light_at(setting, at)
    windows = [(each.name, each.value) for each in windows_of(shoot)]
    words = now_words(setting, now, at) if at else ""
    return Frame(minute or 0, clock_words(sun, at) if sun and at else "", words, draw_room(setting, now, windows))


def three_frames(light: DayOfLight, shoot: Shoot) -> tuple[Frame, ...]:
    """Three hours of the day side by side; one drawing where no day tells them apart."""
    sun = light.setting.sun
    moments = three_moments(sun) if sun else ()
    if sun is None or not moments:
        return (frame_of(light, shoot, None),)
    return tuple(frame_of(light, shoot, sun.minute_of(at)) for at in moments)


def stretch_lines(light: DayOfLight) -> tuple[StretchLine, ...]:
    """Where to stand as the day moves."""
    has_window = light.setting.window is not None
    return tuple(
        StretchLine(
            when_words(light.setting, stretch),
            kind_words(stretch),
            stretch.kind == SUN,
            tuple((light_name(name), places_words(choices, has_window=has_window)) for name, choices in stretch.places),
        )
        for stretch in stretches(light.setting, light.hours)
    )


def shot_groups(light: DayOfLight, shoot: Shoot) -> tuple[ShotGroup, ...]:
    """The planned shots that are not skipped, by light and place: at their time, or in the longest soft stretch of the day.

    Those planned on another day of the shoot are left out.
    """
    found: dict[tuple[str, str], list[Shot]] = {}
    for shot in shoot.shots.exclude(state=Shot.State.SKIPPED).select_related("dish"):
        if _is_of_another_day(light, shoot, shot):
            continue
        wanted = wanted_light(shot.light, shot.angle)
        where = shot_words(
            light.setting,
            wanted,
            angle=shot.angle,
            at=_moment_of(light, shot),
            is_timed=shot.planned_time is not None,
        )
        if shot.angle == "overhead":
            above = {"ceiling": light.plan.ceiling_cm * 10, "table": light.plan.table_cm * 10}
            where = f"{where} {overhead_words(shot.distance, **above)}"
        found.setdefault((asked_words(wanted, shot.angle), where), []).append(shot)
    return tuple(ShotGroup(asked, where, tuple(shots)) for (asked, where), shots in found.items())


def _is_of_another_day(light: DayOfLight, shoot: Shoot, shot: Shot) -> bool:
    if light.setting.sun is None or shoot.first_on is None or shot.planned_time is None:
        return False
    return shoot.first_on + timedelta(days=shot.planned_day - 1) != light.setting.sun.day


def _moment_of(light: DayOfLight, shot: Shot) -> datetime | None:
    sun, hours = light.setting.sun, light.hours
    if sun is None:
        return None
    if shot.planned_time:
        return sun.at_clock(shot.planned_time)
    spans = (hours.soft or hours.hard) if hours else sun.up
    if not spans:
        return sun.noon_at
    longest = max(spans, key=lambda each: each.until_at - each.from_at)
    return longest.from_at + (longest.until_at - longest.from_at) / 2


def best_span(light: DayOfLight) -> str:
    """The longest soft stretch of the day, in words."""
    sun, hours = light.setting.sun, light.hours
    if sun is None or hours is None or not hours.soft or light.setting.by_lamp:
        return ""
    return span_words(sun, max(hours.soft, key=lambda each: each.until_at - each.from_at))


# What the studio shoots with, and the lens of each shot


@dataclass(frozen=True)
class Kit:
    """The camera that is reckoned with (the first written down) and the lenses; ``is_own`` is False where the usual ones stand in."""

    body: Body
    lenses: tuple[Glass, ...]
    camera: str
    is_own: bool


def sensor_of(camera: Camera) -> Sensor:
    """The sensor of a camera. Its circle of confusion: a twelve-hundredth of the long side, 0.030 mm on 36 × 24 (common practice, no source)."""
    long, short = float(camera.long_mm), float(camera.short_mm)
    return Sensor(f"{camera.name}, {long:g} × {short:g} mm", long, short, round(long / 1200, 3))


def own_kit() -> Kit:
    """What the studio shoots with; where nothing is written down, 36 × 24 mm and the usual lenses."""
    camera, lenses = Camera.objects.first(), tuple(OwnLens.objects.all())
    body = Body(sensor_of(camera), camera.pixels) if camera else USUAL_BODY
    glasses = tuple(
        Glass(each.name, each.shortest_mm, each.longest_mm, each.nearest_cm * 10 if each.nearest_cm else None)
        for each in lenses
    )
    return Kit(body, glasses or USUAL_LENSES, camera.name if camera else "", bool(camera and glasses))


@dataclass(frozen=True)
class LensGroup:
    """Planned shots that ask the same of a lens, in the order of the list."""

    angle: str
    lens: ShotLens
    shots: tuple[Shot, ...]


def ask_of(shot: Shot) -> ShotAsk:
    """What a planned shot asks of a lens; its moment is read with it."""
    return ShotAsk(
        angle=shot.angle,
        distance=shot.distance,
        frame=shot.frame_mm,
        motion=shot.motion,
        action=shot.moment.action if shot.moment else "",
        focal=shot.lens_mm,
        stop=float(shot.f_number) if shot.f_number else None,
        shutter=seconds_of(shot.shutter) if shot.shutter else None,
    )


def room_of(plan: LightPlan) -> Room:
    """What stops a camera in the room of a shoot, in millimetres."""
    return Room(plan.ceiling_cm * 10, plan.table_cm * 10, plan.behind_cm * 10 if plan.behind_cm else None)


def lens_of(shot: Shot, plan: LightPlan, kit: Kit) -> ShotLens:
    """The lens of one shot."""
    return shot_lens(ask_of(shot), room_of(plan), kit.body, kit.lenses)


def planned_shots(shoot: Shoot) -> list[Shot]:
    """The shots that are not skipped, in the order they are taken, each with its dish and moment."""
    return list(shoot.shots.exclude(state=Shot.State.SKIPPED).select_related("dish", "moment"))


def lens_groups(shoot: Shoot, shots: list[Shot], kit: Kit) -> tuple[LensGroup, ...]:
    """The shots of ``planned_shots`` by what they ask of a lens. Grey cards and the room itself ask nothing of the table's lens."""
    plan, found = plan_of(shoot), dict[tuple[str, ShotLens], list[Shot]]()
    for shot in shots:
        if shot.kind not in (ShotKind.GREY_CARD, ShotKind.ROOM):
            found.setdefault((shot.angle, lens_of(shot, plan, kit)), []).append(shot)
    return tuple(LensGroup(angle, lens, tuple(shots)) for (angle, lens), shots in found.items())


def out_of_reach(groups: tuple[LensGroup, ...]) -> list[Shot]:
    """The shots no lens fits."""
    return [shot for group in groups if group.lens.is_out_of_reach for shot in group.shots]


# A grey card at each new light


def new_lights(light: DayOfLight, shots: list[Shot]) -> list[tuple[str, int]]:
    """The lights of the day after the first, by name, each with the shot that has it first; those with a grey card on the list left out.

    ``shots`` in the order they are taken. A shot without a planned time is told for the soft light of the day.
    """
    order = (
        sorted(shots, key=lambda shot: (shot.planned_time is None, shot.planned_day, shot.planned_time))
        if _all_timed(shots)
        else shots
    )
    seen: dict[str, int] = {}
    for shot in order:
        if shot.kind != ShotKind.GREY_CARD and shot.dish_id is not None:
            seen.setdefault(_light_of(light, shot), shot.pk)
    has_card = {shot.title for shot in shots}
    first = grey_card(FIRST_LIGHT).title
    names = list(seen) if first not in has_card else list(seen)[1:]
    return [(name, seen[name]) for name in names if grey_card(name).title not in has_card]


def _all_timed(shots: list[Shot]) -> bool:
    return all(shot.planned_time for shot in shots if shot.dish_id is not None)


def _light_of(light: DayOfLight, shot: Shot) -> str:
    kind = light_at(light.setting, _moment_of(light, shot)).kind
    if kind == SUN:
        return "sun on the table"
    return "lamp" if kind in (LAMPLIGHT, DUSK, DARK) else "window"
