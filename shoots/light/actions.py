from collections.abc import Iterable, Mapping
from datetime import date
from typing import Any

from django.db import transaction

from shared.edits import save_edit
from shoots.brief.models import Shoot
from shoots.light.models import Camera, LightPlan, OwnLens, WindowMeasures
from shoots.light.queries import day_of_light, new_lights, planned_shots
from shoots.plan.actions import add_grey_cards
from shoots.plan.models import Shot


@transaction.atomic
def set_light(
    shoot: Shoot,
    *,
    values: Mapping[str, Any],
    version: int,
    windows: Mapping[tuple[int, int], Mapping[str, Any]] | None = None,
) -> LightPlan:
    """Write down how table, window and lamp stand in the shoot's kitchen. The first time makes the row. Raises EditedMeanwhile for a stale form.

    ``windows`` are the measures of the kitchen's windows, by bearing and place among those with the same one; they hold for all shoots there.
    """
    plan, _made = LightPlan.objects.get_or_create(shoot=shoot, kitchen=shoot.kitchen)
    for name, value in values.items():
        setattr(plan, name, value)
    saved = save_edit(plan, values, version=version)
    for (bearing, number), measures in (windows or {}).items():
        WindowMeasures.objects.update_or_create(
            kitchen=shoot.kitchen, bearing_degrees=bearing, number=number, defaults=dict(measures)
        )
    return saved


@transaction.atomic
def add_cards_for_lights(shoot: Shoot, *, day: date | None) -> list[Shot]:
    """A grey card before the first shot of each light of the day that has none. The cards made."""
    return add_grey_cards(shoot, new_lights(day_of_light(shoot, day), planned_shots(shoot)))


def add_camera(**values: Any) -> Camera:
    """A body the studio shoots with."""
    return Camera.objects.create(**values)


def add_lens(**values: Any) -> OwnLens:
    """A lens the studio has."""
    return OwnLens.objects.create(**values)


@transaction.atomic
def change_kit(row: Camera | OwnLens, *, fields: Iterable[str], version: int) -> Camera | OwnLens:
    """Save the changed ``fields`` already set on a camera or lens. Raises EditedMeanwhile."""
    return save_edit(row, fields, version=version)


def remove_from_kit(row: Camera | OwnLens) -> None:
    """A camera or lens the studio has no more. Shots keep what was fixed for them."""
    row.delete()
