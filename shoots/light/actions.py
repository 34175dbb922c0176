from collections.abc import Mapping
from typing import Any

from django.db import transaction

from shared.edits import save_edit
from shoots.brief.models import Shoot
from shoots.light.models import LightPlan, WindowMeasures


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
