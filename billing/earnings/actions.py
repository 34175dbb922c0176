from collections.abc import Mapping
from datetime import datetime
from decimal import Decimal

from django.db import IntegrityError, transaction
from django.utils import timezone

from billing.earnings.models import WorkedDays
from shared.edits import EditedMeanwhile, save_edit
from shared.evidence.actions import record_evidence
from shoots.brief.models import Shoot

DAY_FIELDS = ("on_set", "preparation", "finishing")


@transaction.atomic
def set_worked_days(shoot: Shoot, days: Mapping[str, Decimal], *, version: int, by: str, at: datetime) -> WorkedDays:
    """Keeps the days really worked on a shoot: ``version`` is 0 for the first time. Raises ``EditedMeanwhile``."""
    row = WorkedDays.objects.select_for_update().filter(shoot=shoot).first()
    values = {name: days[name] for name in DAY_FIELDS}
    if row is None:
        try:
            with transaction.atomic():
                row = WorkedDays.objects.create(shoot=shoot, **values)
        except IntegrityError as twice:
            raise EditedMeanwhile(timezone.now()) from twice
    else:
        for name, value in values.items():
            setattr(row, name, value)
        row = save_edit(row, DAY_FIELDS, version=version)
    payload = {name: str(value) for name, value in values.items()} | {"by": by}
    record_evidence("worked_days.set", subject=f"shoot:{shoot.pk}", payload=payload, at=at)
    return row


@transaction.atomic
def forget_worked_days(shoot: Shoot, *, by: str, at: datetime) -> bool:
    """Counts the days of the accepted lines again. Whether any were typed."""
    gone, _each = WorkedDays.objects.filter(shoot=shoot).delete()
    if gone:
        record_evidence("worked_days.forgotten", subject=f"shoot:{shoot.pk}", payload={"by": by}, at=at)
    return bool(gone)
