from collections.abc import Sequence
from datetime import datetime
from typing import Any

from django.db.models import QuerySet

from shared.business.queries import business_or_none
from shoots.brief.models import Part, Shoot
from shoots.day.marks import Line, cue_size, next_open, strokes, tries_left
from shoots.day.models import Take
from shoots.plan.models import Shot
from shoots.plan.moments import HOW_OFTEN
from shoots.plan.queries import cook_of, counts_of, cues_in, promised_and_not_taken, shots_of

END = "end"
FEW = ("once", "many", "keep")


def takes_standing(shot: Shot) -> QuerySet[Take]:
    """What was pressed for a shot and not undone, in order."""
    return shot.takes.exclude(outcome=Take.Outcome.UNDO).filter(undone_by=None)


def last_take(shoot: Shoot) -> Take | None:
    """The last press on a shoot if it can still be undone: nothing was pressed since."""
    last = Take.objects.filter(shot__shoot=shoot).select_related("shot").order_by("-at", "-pk").first()
    return last if last and last.outcome != Take.Outcome.UNDO else None


def shot_on_the_table(shots: Sequence[Shot], *, wanted: str = "", after: str = "") -> Shot | None:
    """The shot the screen shows: the one asked for, else the next open one; nothing when all are behind you, or for ``end``."""
    if wanted == END:
        return None
    by_key = {shot.pk: shot for shot in shots}
    if wanted.isdecimal() and int(wanted) in by_key:
        return by_key[int(wanted)]
    key = next_open(_lines(shots), int(after) if after.isdecimal() else None)
    return by_key[key] if key is not None else None


def set_screen(shoot: Shoot, *, at: datetime, wanted: str = "", after: str = "") -> dict[str, Any]:
    """Everything the screen on set shows, in a constant number of queries."""
    shots = list(shots_of(shoot))
    shot = shot_on_the_table(shots, wanted=wanted, after=after)
    screen: dict[str, Any] = {
        "shoot": shoot,
        "shot": shot,
        "counts": counts_of(shots),
        "last": last_take(shoot),
        "of": len(shots),
    }
    screen |= {
        "strokes": strokes(_lines(shots), shot.pk if shot else None),
        "behind": sum(each.state in ("done", "skipped") for each in shots),
    }
    if shot is None:
        return {**screen, **end_of_day(shoot, shots)}
    following = next_open(_lines(shots), shot.pk)
    used = sum(take.outcome in (Take.Outcome.DONE, Take.Outcome.AGAIN) for take in takes_standing(shot))
    return {
        **screen,
        **_cues(shoot, shot, at),
        "number": [each.pk for each in shots].index(shot.pk) + 1,
        "next": next((each for each in shots if each.pk == following and each.pk != shot.pk), None),
        "how_often": HOW_OFTEN[shot.moment.repeat] if shot.moment and shot.moment.repeat in FEW else "",
        "tries_left": tries_left(shot.tries, used),
        "take": used + 1,
        "clients": client_names(shoot),
    }


def end_of_day(shoot: Shoot, shots: Sequence[Shot]) -> dict[str, Any]:
    """What to look at while the pan is still warm: promised pictures not taken, shots skipped."""
    return {
        "not_taken": promised_and_not_taken(shoot),
        "skipped": [shot for shot in shots if shot.state == Shot.State.SKIPPED],
        "repeats": [shot for shot in shots if shot.state == Shot.State.REPEAT],
    }


def client_names(shoot: Shoot) -> list[str]:
    """Who may say OK on set: whoever decides for the client, then the cook."""
    parts = {Part.DECIDES: 0, Part.COOK: 1}
    rows = sorted((row for row in shoot.people.all() if row.part in parts), key=lambda row: parts[row.part])
    return list(dict.fromkeys(row.person.name for row in rows))


def _cues(shoot: Shoot, shot: Shot, at: datetime) -> dict[str, Any]:
    """The words to say, in the studio's language and beside it in the cook's."""
    business, cook = business_or_none(at), cook_of(shoot)
    ours = business.language if business else "en"
    theirs = cook.language if cook else shoot.client.language
    words = cues_in(shot.cues, ours)
    return {
        "cues": words,
        "cue_size": cue_size(words),
        "cue_language": ours,
        "also": cues_in(shot.cues, theirs) if theirs != ours else [],
        "also_language": theirs,
    }


def _lines(shots: Sequence[Shot]) -> list[Line]:
    return [Line(shot.pk, shot.state) for shot in shots]
