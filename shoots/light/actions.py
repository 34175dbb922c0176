from collections.abc import Mapping
from typing import Any

from django.db import transaction

from shared.edits import save_edit
from shoots.brief.models import Shoot
from shoots.light.models import LightPlan


@transaction.atomic
def set_light(shoot: Shoot, *, values: Mapping[str, Any], version: int) -> LightPlan:
    """Write down how table, window and lamp stand. The first time makes the row. Raises EditedMeanwhile for a stale form."""
    plan, _made = LightPlan.objects.get_or_create(shoot=shoot)
    for name, value in values.items():
        setattr(plan, name, value)
    return save_edit(plan, values, version=version)
