"""One way to move a row from state to state: a conditional UPDATE against a table of allowed moves."""

from collections.abc import Mapping
from typing import Any

from django.db.models import Model

from shared.errors import Refusal


class MoveRefused(Refusal):
    """The row is no longer in a state from which this move is allowed."""

    def __init__(self, noun: str, was: str, wanted: str) -> None:
        self.noun, self.was, self.wanted = noun, was, wanted
        super().__init__(
            f"This {noun} is {was} already." if was == wanted else f"This {noun} is {was} and cannot become {wanted}.",
            "Nothing was changed.",
            "Open the page again to see how it stands now.",
        )


def move(
    row: Model, to: str, *, moves: Mapping[str, frozenset[str]], noun: str, field: str = "state", **also: Any
) -> None:
    """Move ``row`` to state ``to`` and set the fields in ``also``, in one conditional UPDATE.

    ``moves`` maps each state to the states it may become. The loser of a race, or a forbidden move, gets
    ``MoveRefused`` with the state the row really has.
    """
    sources = [state for state, targets in moves.items() if to in targets]
    model = type(row)
    changed = model._default_manager.filter(pk=row.pk, **{f"{field}__in": sources}).update(**{field: to}, **also)
    row.refresh_from_db()
    if not changed:
        raise MoveRefused(noun, getattr(row, f"get_{field}_display")().lower(), to)
