"""What is pressed on set. Each press is a row that stays; Undo is a later row."""

from datetime import datetime

from django.db import IntegrityError, transaction
from django.db.models import F

from shared.errors import Refusal
from shared.evidence.actions import conceal, record_evidence
from shoots.day.marks import is_double_press
from shoots.day.models import Take
from shoots.plan.actions import set_shot_state
from shoots.plan.models import Shot

BECOMES = {
    Take.Outcome.DONE: Shot.State.DONE,
    Take.Outcome.AGAIN: Shot.State.REPEAT,
    Take.Outcome.SKIP: Shot.State.SKIPPED,
}


class UndoTooLate(Refusal):
    """Something else was pressed for this shot since, or it was undone already."""

    def __init__(self, take: Take) -> None:
        self.take = take
        super().__init__(
            f"“{take.shot}” was marked again since, so this mark can no longer be undone.",
            "All marks are kept.",
            "Open the shot and press what is right now.",
        )


@transaction.atomic
def press_take(shot: Shot, *, outcome: str, at: datetime, by: str = "", note: str = "") -> Take | None:
    """Mark a shot as done, to be taken again, or skipped. A second press of the same person within 700 ms is none: nothing is written.

    ``again`` leaves the shot open (it is to be repeated); ``note`` says why.
    """
    shot = Shot.objects.select_for_update().get(pk=shot.pk)
    last = Take.objects.filter(shot__shoot_id=shot.shoot_id, by=by).order_by("-at", "-pk").first()
    if is_double_press(last.at if last else None, at):
        return None
    take = Take.objects.create(shot=shot, outcome=outcome, was=shot.state, at=at, by=by, note=note[:200])
    set_shot_state(shot, state=BECOMES[Take.Outcome(outcome)])
    return take


@transaction.atomic
def undo_take(take: Take, *, at: datetime, by: str = "") -> Take:
    """Take a mark back with a later one; the shot stands as it did before. Raises UndoTooLate when something was pressed since."""
    shot = Shot.objects.select_for_update().get(pk=take.shot_id)
    later = Take.objects.filter(shot=shot, pk__gt=take.pk).exists()
    if later or take.outcome == Take.Outcome.UNDO:
        raise UndoTooLate(take)
    try:
        with transaction.atomic():
            undo = Take.objects.create(shot=shot, outcome=Take.Outcome.UNDO, undoes=take, was=shot.state, at=at, by=by)
    except IntegrityError:  # undone in the same moment on another phone
        raise UndoTooLate(take) from None
    set_shot_state(shot, state=take.was)
    return undo


@transaction.atomic
def ok_shot(shot: Shot, *, name: str, at: datetime) -> Shot:
    """The client, by name, has seen the picture on set and says it will do. It goes into the evidence log: repeats after it are not free."""
    Shot.objects.filter(pk=shot.pk).update(okd_by=name, okd_at=at, version=F("version") + 1)
    record_evidence(
        "shot_okd", subject=f"shot:{shot.pk}", payload={"title": conceal(shot.title), "by": conceal(name)}, at=at
    )
    shot.refresh_from_db()
    return shot


@transaction.atomic
def take_back_ok(shot: Shot, *, at: datetime) -> Shot:
    """The OK was a mistake, or is taken back. Both stay in the evidence log."""
    Shot.objects.filter(pk=shot.pk).update(okd_by="", okd_at=None, version=F("version") + 1)
    record_evidence("shot_ok_taken_back", subject=f"shot:{shot.pk}", payload={"by": conceal(shot.okd_by)}, at=at)
    shot.refresh_from_db()
    return shot
