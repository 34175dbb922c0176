"""What can be done for the safety of a shoot: lines ticked by name, a new light, food that leaves fridge or heat."""

from collections.abc import Iterable
from datetime import datetime

from django.db import transaction
from django.db.models import Max

from shared.errors import Refusal
from shoots.brief.models import Dish, Shoot
from shoots.safety.lists import FRAME_LINES, NEW_LIGHT, line_of
from shoots.safety.models import FoodOut, SafetyTick

FRAME_KEYS = frozenset(line.key for line in FRAME_LINES)
MOST_LIGHTS = 99


class TooManyLights(Refusal):
    """A day has no hundred lights: a button was pressed again and again."""

    def __init__(self) -> None:
        super().__init__(
            f"{MOST_LIGHTS} lights are on the list of this shoot already.",
            "No other was begun.",
            "Tick the list of the last one.",
        )


@transaction.atomic
def tick_safety(
    shoot: Shoot, *, items: Iterable[str], name: str, at: datetime, is_here: bool = True
) -> list[SafetyTick]:
    """Tick lines by name; those of the first frame for the present light. A line that is ticked already keeps its name and time."""
    shoot = _locked(shoot)
    light = _light_of(shoot)
    made = []
    for item in dict.fromkeys(items):
        if line_of(item) is None:
            continue
        place = light if item in FRAME_KEYS else 0
        tick, is_new = SafetyTick.objects.get_or_create(
            shoot=shoot,
            item=item,
            light=place,
            taken_back_at=None,
            defaults={"name": name, "at": at, "is_here": is_here},
        )
        if is_new:
            made.append(tick)
    return made


@transaction.atomic
def take_back_tick(tick: SafetyTick, *, at: datetime, by: str) -> None:
    """The line is open again; the tick stays with who took it back. Taken back twice, the first one counts."""
    SafetyTick.objects.filter(pk=tick.pk, taken_back_at=None).update(taken_back_at=at, taken_back_by=by)


@transaction.atomic
def begin_light(shoot: Shoot, *, by: str, at: datetime) -> int:
    """The light changed: the list of the first frame is open again. Which light of the day it is."""
    shoot = _locked(shoot)
    light = _light_of(shoot) + 1
    if light > MOST_LIGHTS:
        raise TooManyLights
    SafetyTick.objects.create(shoot=shoot, item=NEW_LIGHT, light=light, name=by, at=at)
    return light


def put_food_out(dish: Dish, *, at: datetime, by: str) -> FoodOut:
    """Food of the dish leaves fridge or heat now; its minutes count from here."""
    return FoodOut.objects.create(dish=dish, at=at, by=by)


def take_back_food_out(row: FoodOut) -> None:
    """It was pressed by mistake: an earlier portion counts again, or nothing does."""
    row.delete()


def _locked(shoot: Shoot) -> Shoot:
    return Shoot.objects.select_for_update().get(pk=shoot.pk)


def _light_of(shoot: Shoot) -> int:
    return SafetyTick.objects.filter(shoot=shoot, taken_back_at=None).aggregate(last=Max("light"))["last"] or 1
