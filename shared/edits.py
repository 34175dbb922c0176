"""Two people may edit the same row; the second is told, and keeps what was typed."""

from collections.abc import Iterable
from datetime import datetime
from typing import TypeVar

from django.db import models
from django.utils import timezone

from shared.errors import Refusal


class Edited(models.Model):
    """A row that people edit: ``version`` counts the edits, so that a stale form is noticed."""

    version = models.PositiveIntegerField(default=1, editable=False)
    changed_at = models.DateTimeField(auto_now=True)

    class Meta:
        abstract = True


class EditedMeanwhile(Refusal):
    """Somebody else saved this row after the form was opened."""

    def __init__(self, changed_at: datetime) -> None:
        self.changed_at = changed_at
        super().__init__(
            f"Someone changed this at {timezone.localtime(changed_at):%H:%M}, after you opened it.",
            "Your changes are kept below and are not saved yet.",
            "Open the page in a second tab to compare, then save again to put yours on top.",
        )


Row = TypeVar("Row", bound=Edited)


def save_edit(row: Row, fields: Iterable[str], *, version: int) -> Row:
    """Save ``fields`` of ``row`` if it still has ``version``; raise ``EditedMeanwhile`` otherwise."""
    model = type(row)
    taken = model._default_manager.filter(pk=row.pk, version=version).update(version=version + 1)
    if not taken:
        raise EditedMeanwhile(model._default_manager.get(pk=row.pk).changed_at)
    row.version = version + 1
    row.save(update_fields=[*fields, "version", "changed_at"])
    return row
