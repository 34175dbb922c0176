"""What is pressed on set. Each press is a row that stays; Undo is a later row."""

import uuid
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime

from django.db import IntegrityError, transaction
from django.db.models import F

from shared.errors import Refusal
from shared.evidence.actions import conceal, record_evidence
from shoots.brief.actions import lock_shoots
from shoots.brief.models import Shoot
from shoots.day.holding import END_OF_DAY, LIMITS
from shoots.day.marks import is_double_press
from shoots.day.models import HoldLimit, Mark, Take
from shoots.day.queries import takes_standing
from shoots.day.sending import Sent, put_right
from shoots.plan.actions import add_shots, set_shot_state
from shoots.plan.models import Shot

BECOMES = {
    Take.Outcome.DONE: Shot.State.DONE,
    Take.Outcome.AGAIN: Shot.State.REPEAT,
    Take.Outcome.SKIP: Shot.State.SKIPPED,
}
OFF_THE_LIST = "The shot is no longer on the list. The mark is kept."
UNKNOWN = "The mark it names is not known here. It is kept and changes nothing."
TWICE = "It was undone before. Kept, and changes nothing."
NO_WORDS = "The name or the words are missing. Kept, and changes nothing."


class UndoTooLate(Refusal):
    """Something else was pressed for this shot since, or it was undone already."""

    def __init__(self, take: Take) -> None:
        self.take = take
        super().__init__(
            f"“{take.shot}” was marked again since, so this mark can no longer be undone.",
            "All marks are kept.",
            "Open the shot and press what is right now.",
        )


# Pressed on a page that is online: the plain forms


@transaction.atomic
def press_take(shot: Shot, *, outcome: str, at: datetime, by: str = "", note: str = "") -> Take | None:
    """Mark a shot as done, to be taken again, or skipped. A second press of the same person within 700 ms is none: nothing is written.

    ``again`` leaves the shot open (it is to be repeated); ``note`` says why.
    """
    shot = _locked(shot)
    last = Take.objects.filter(shot__shoot_id=shot.shoot_id, by=by).order_by("-at", "-pk").first()
    if is_double_press(last.at if last else None, at):
        return None
    take = _press(shot, outcome, at=at, by=by, note=note)
    _log(shot.shoot_id, outcome, shot=shot, take=take, words=take.note, at=at, by=by)
    return take


@transaction.atomic
def undo_take(take: Take, *, at: datetime, by: str = "") -> Take:
    """Take a mark back with a later one; the shot stands as it did before. Raises UndoTooLate when something was pressed since."""
    shot = _locked(take.shot)
    later = Take.objects.filter(shot=shot, pk__gt=take.pk).exists()
    if later or take.outcome == Take.Outcome.UNDO:
        raise UndoTooLate(take)
    try:
        with transaction.atomic():
            undo = _undo(take, shot, at=at, by=by)
    except IntegrityError:  # undone in the same moment on another phone
        raise UndoTooLate(take) from None
    undone = Mark.objects.filter(take=take).first()
    _log(shot.shoot_id, Mark.Kind.UNDO, shot=shot, take=undo, about=undone, at=at, by=by)
    return undo


@transaction.atomic
def ok_shot(shot: Shot, *, name: str, at: datetime, by: str = "") -> Shot:
    """The client, by name, has seen the picture on set and says it will do. It goes into the evidence log: repeats after it are not free."""
    shot = _locked(shot)
    _log(shot.shoot_id, Mark.Kind.OK, shot=shot, words=name, at=at, by=by)
    return _ok(shot, name, at=at)


@transaction.atomic
def take_back_ok(shot: Shot, *, at: datetime, by: str = "") -> Shot:
    """The OK was a mistake, or is taken back. Both stay in the evidence log."""
    shot = _locked(shot)
    _log(shot.shoot_id, Mark.Kind.OK_BACK, shot=shot, words=shot.okd_by, at=at, by=by)
    return _take_back(shot, at=at)


# Pressed on a phone, with or without network


def hold_marks(shoot: Shoot, marks: Iterable[Sent], *, off: int, at: datetime, by: str) -> None:
    """Write down what a phone sends, each mark for itself, in the phone's order. A mark that is held already changes nothing.

    ``off`` is by how many seconds the phone's clock was ahead when it sent; a mark that brings its own measure keeps to that.
    What is held is read back by the caller (``queries.held_of``): this function promises nothing.
    """
    for sent in marks:
        try:
            hold_mark(shoot, sent, off=off, at=at, by=by)
        except IntegrityError:
            continue


@transaction.atomic
def hold_mark(shoot: Shoot, sent: Sent, *, off: int = 0, at: datetime, by: str) -> None:
    """Write one mark down and do what it says. What cannot be done is kept with the reason; nothing a person pressed is thrown away."""
    lock_shoots(shoot.pk)
    if Mark.objects.filter(key=sent.key).exists():
        return
    measured = off if sent.off is None else sent.off
    now = put_right(sent.pressed_at, measured, received=at)
    shot = _shot_named(shoot, sent)
    about = Mark.objects.filter(shoot=shoot, key=sent.about).first() if sent.about else None
    done = _DEEDS[sent.kind](_Pressed(shoot, sent, shot, about, now, by))
    Mark.objects.create(
        key=sent.key,
        shoot=shoot,
        shot=done.shot or shot,
        kind=sent.kind,
        words=sent.words,
        item=sent.item,
        minutes=sent.minutes,
        about=about if done.is_about else None,
        take=done.take,
        at=now,
        phone_at=sent.pressed_at,
        clock_off=measured,
        by=by,
        held_at=at,
        trouble=done.trouble,
    )


@transaction.atomic
def set_hold_limits(minutes: Mapping[str, int]) -> None:
    """Set the studio's own hold limits; a figure that is ours again is forgotten. Unknown keys are left out."""
    for limit in LIMITS:
        own = minutes.get(limit.key, limit.minutes)
        if own == limit.minutes:
            HoldLimit.objects.filter(key=limit.key).delete()
        else:
            HoldLimit.objects.update_or_create(key=limit.key, defaults={"minutes": own})


# What a mark does


@dataclass(frozen=True)
class _Pressed:
    shoot: Shoot
    sent: Sent
    shot: Shot | None
    about: Mark | None
    at: datetime
    by: str


@dataclass(frozen=True)
class _Done:
    take: Take | None = None
    shot: Shot | None = None
    is_about: bool = False
    trouble: str = ""


def _hold_press(pressed: _Pressed) -> _Done:
    if pressed.shot is None:
        return _Done(trouble=OFF_THE_LIST)
    shot = Shot.objects.select_for_update().get(pk=pressed.shot.pk)
    return _Done(_press(shot, pressed.sent.kind, at=pressed.at, by=pressed.by, note=pressed.sent.words))


def _hold_undo(pressed: _Pressed) -> _Done:
    mark = pressed.about
    if mark is None:
        return _Done(trouble=UNKNOWN)
    if mark.later.filter(kind=Mark.Kind.UNDO).exists() or Take.objects.filter(undoes__mark=mark).exists():
        return _Done(trouble=TWICE)
    if mark.take is not None and mark.shot is not None:
        shot = Shot.objects.select_for_update().get(pk=mark.take.shot_id)
        return _Done(_undo(mark.take, shot, at=pressed.at, by=pressed.by), shot, is_about=True)
    if mark.shot is not None and mark.kind in (Mark.Kind.OK, Mark.Kind.OK_BACK):
        _ok_as_before(mark, mark.shot, at=pressed.at)
    if mark.shot is not None and mark.kind == Mark.Kind.UNPLANNED and mark.shot.state == Shot.State.PLANNED:
        set_shot_state(mark.shot, state=Shot.State.SKIPPED)  # its marks stay, so it does too
    return _Done(shot=mark.shot, is_about=True)


def _ok_as_before(undone: Mark, shot: Shot, *, at: datetime) -> None:
    """The OK that stands when ``undone`` does not: the newest one that was neither undone nor taken back. An OK of another time stays."""
    if undone.kind == Mark.Kind.OK and shot.okd_at != undone.at:
        return
    told = shot.marks.filter(kind__in=(Mark.Kind.OK, Mark.Kind.OK_BACK), trouble="").exclude(pk=undone.pk)
    before = told.exclude(later__kind=Mark.Kind.UNDO).order_by("-at", "-pk").first()
    if before is not None and before.kind == Mark.Kind.OK:
        if shot.okd_at != before.at:
            _ok(shot, before.words[:120], at=before.at, recorded_at=at)
    elif shot.okd_by:
        _take_back(shot, at=at)


def _hold_ok(pressed: _Pressed) -> _Done:
    if pressed.shot is None:
        return _Done(trouble=OFF_THE_LIST)
    if not pressed.sent.words:
        return _Done(trouble=NO_WORDS)
    if pressed.shot.okd_at is None or pressed.shot.okd_at <= pressed.at:
        _ok(pressed.shot, pressed.sent.words[:120], at=pressed.at)
    return _Done()


def _hold_ok_back(pressed: _Pressed) -> _Done:
    if pressed.shot is None:
        return _Done(trouble=OFF_THE_LIST)
    if pressed.shot.okd_at is not None and pressed.shot.okd_at <= pressed.at:
        _take_back(pressed.shot, at=pressed.at)
    return _Done()


def _hold_words(pressed: _Pressed) -> _Done:
    return _Done(trouble="" if pressed.sent.words else NO_WORDS)


def _hold_unplanned(pressed: _Pressed) -> _Done:
    """A shot nobody listed, of the dish that is on the table."""
    beside, title = pressed.shot, pressed.sent.words[:160] or "Unplanned shot"
    return _Done(shot=add_shots(pressed.shoot, titles=[title], dish=beside.dish if beside else None, is_must=False)[0])


def _hold_plated(pressed: _Pressed) -> _Done:
    return _Done(trouble="" if pressed.sent.minutes else NO_WORDS)


def _hold_cleared(pressed: _Pressed) -> _Done:
    is_clock = pressed.about is not None and pressed.about.kind == Mark.Kind.PLATED
    return _Done(shot=pressed.about.shot, is_about=True) if is_clock and pressed.about else _Done(trouble=UNKNOWN)


def _hold_tick(pressed: _Pressed) -> _Done:
    known = pressed.sent.item in {item.key for item in END_OF_DAY}
    return _Done(trouble="" if known and pressed.sent.words else NO_WORDS)


_DEEDS: dict[str, Callable[[_Pressed], _Done]] = {
    "done": _hold_press,
    "again": _hold_press,
    "skip": _hold_press,
    "undo": _hold_undo,
    "ok": _hold_ok,
    "ok_back": _hold_ok_back,
    "note": _hold_words,
    "unplanned": _hold_unplanned,
    "plated": _hold_plated,
    "cleared": _hold_cleared,
    "tick": _hold_tick,
}


def _press(shot: Shot, outcome: str, *, at: datetime, by: str, note: str) -> Take:
    """The shot stands as its newest mark says: one that comes in late, from a phone that had no network, changes nothing."""
    is_newest = not takes_standing(shot).filter(at__gt=at).exists()
    take = Take.objects.create(shot=shot, outcome=outcome, was=shot.state, at=at, by=by, note=note[:200])
    if is_newest:
        set_shot_state(shot, state=BECOMES[Take.Outcome(outcome)])
    return take


def _undo(take: Take, shot: Shot, *, at: datetime, by: str) -> Take:
    later = shot.takes.filter(pk__gt=take.pk)
    newest = takes_standing(shot).exclude(pk=take.pk).order_by("-at", "-pk").first()
    undo = Take.objects.create(shot=shot, outcome=Take.Outcome.UNDO, undoes=take, was=shot.state, at=at, by=by)
    if not later.exclude(pk=undo.pk).exists() and (newest is None or newest.at <= take.at):
        state = take.was
    elif newest is not None:
        state = BECOMES[Take.Outcome(newest.outcome)]
    else:  # all marks are undone, not the last one first: what the last one found was itself undone since
        state = shot.takes.order_by("pk").values_list("was", flat=True)[0]
    set_shot_state(shot, state=state)
    return undo


def _locked(shot: Shot) -> Shot:
    """The shoot first, then the shot, as everything on set does it: two phones never wait for each other."""
    lock_shoots(shot.shoot_id)
    return Shot.objects.select_for_update().get(pk=shot.pk)


def _ok(shot: Shot, name: str, *, at: datetime, recorded_at: datetime | None = None) -> Shot:
    Shot.objects.filter(pk=shot.pk).update(okd_by=name, okd_at=at, version=F("version") + 1)
    record_evidence(
        "shot_okd",
        subject=f"shot:{shot.pk}",
        payload={"title": conceal(shot.title), "by": conceal(name)},
        at=recorded_at or at,
    )
    shot.refresh_from_db()
    return shot


def _take_back(shot: Shot, *, at: datetime) -> Shot:
    Shot.objects.filter(pk=shot.pk).update(okd_by="", okd_at=None, version=F("version") + 1)
    record_evidence("shot_ok_taken_back", subject=f"shot:{shot.pk}", payload={"by": conceal(shot.okd_by)}, at=at)
    shot.refresh_from_db()
    return shot


def _shot_named(shoot: Shoot, sent: Sent) -> Shot | None:
    if sent.shot is not None:
        return shoot.shots.filter(pk=sent.shot).select_related("dish").first()
    if sent.unplanned is not None:
        made = Mark.objects.filter(shoot=shoot, key=sent.unplanned).select_related("shot__dish").first()
        return made.shot if made else None
    return None


def _log(shoot_id: int, kind: str, *, at: datetime, by: str, words: str = "", **rest: object) -> None:
    """The line in the day's log of something pressed on a page that is online."""
    Mark.objects.create(
        key=uuid.uuid4(),
        shoot_id=shoot_id,
        kind=kind,
        words=words[:200],
        at=at,
        phone_at=at,
        held_at=at,
        by=by,
        **rest,
    )
