import hashlib
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import cache
from pathlib import Path
from typing import Any
from uuid import UUID

from django.contrib.staticfiles import finders
from django.db.models import Prefetch, QuerySet
from django.templatetags.static import static

from shared.business.queries import business_or_none
from shoots.brief.models import Part, Shoot
from shoots.day.holding import END_OF_DAY, QUICK_NOTES, Item, Limit, limits_with
from shoots.day.marks import Line, cue_size, next_open, strokes, tries_left
from shoots.day.models import HoldLimit, Mark, Take
from shoots.plan.models import Shot
from shoots.plan.moments import HOW_OFTEN
from shoots.plan.queries import cook_of, counts_of, cues_in, promised_and_not_taken, shots_of
from shoots.safety.queries import calls_of

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
    """Everything the screen on set shows, in a constant number of queries: the shot on the table, and all others to go on without network."""
    shots = list(shots_of(shoot).select_related("dish", "moment"))
    shot = shot_on_the_table(shots, wanted=wanted, after=after)
    used, cues = used_tries(shoot), _cue_languages(shoot, at)
    for number, each in enumerate(shots, start=1):
        vars(each).update(number=number, screen=_shot_screen(each, used[each.pk], cues))
    screen: dict[str, Any] = {
        "shoot": shoot,
        "shots": shots,
        "shot": shot,
        "counts": counts_of(shots),
        "last": last_take(shoot),
        "of": len(shots),
        "clocks": clocks_of(shoot),
        "limits": hold_limits(),
        "quick_notes": QUICK_NOTES,
        "strokes": strokes(_lines(shots), shot.pk if shot else None),
        "behind": sum(each.state in ("done", "skipped") for each in shots),
        "day": day_of(shoot, shots, used=used, at=at),
    }
    screen["clients"], screen["calls"] = client_names(shoot), calls_of(shoot)
    if shot is None:
        return {**screen, **missing_of(shoot, shots)}
    following = next_open(_lines(shots), shot.pk)
    return {
        **screen,
        "number": [each.pk for each in shots].index(shot.pk) + 1,
        "next": next((each for each in shots if each.pk == following and each.pk != shot.pk), None),
    }


def used_tries(shoot: Shoot) -> Counter[int]:
    """How many takes stand for each shot of a shoot."""
    took = Take.objects.filter(
        shot__shoot=shoot, outcome__in=(Take.Outcome.DONE, Take.Outcome.AGAIN), undone_by=None
    ).values_list("shot_id", flat=True)
    return Counter(took)


# What a phone keeps and sends


def day_of(shoot: Shoot, shots: Sequence[Shot], *, used: Counter[int], at: datetime) -> dict[str, Any]:
    """The day as a phone keeps it, to reckon on without network: plain values for JSON, times in ISO 8601 with their offset."""
    pressed = Take.objects.filter(shot__shoot=shoot).exclude(outcome=Take.Outcome.UNDO)
    last = dict(pressed.order_by("at").values_list("shot_id", "at"))  # the latest of each stands
    made_by = dict(
        Mark.objects.filter(shoot=shoot, kind=Mark.Kind.UNPLANNED, shot__isnull=False).values_list("shot_id", "key")
    )
    return {
        "at": at.isoformat(),
        "held": Mark.objects.filter(shoot=shoot).count(),
        "shots": [
            {
                "key": shot.pk,
                "title": shot.title,
                "dish": shot.dish.name if shot.dish else "",
                "state": shot.state,
                "tries": shot.tries,
                "used": used[shot.pk],
                "okBy": shot.okd_by,
                "okAt": shot.okd_at.isoformat() if shot.okd_at else None,
                "last": last[shot.pk].isoformat() if shot.pk in last else None,
                "madeBy": str(made_by[shot.pk]) if shot.pk in made_by else None,
            }
            for shot in shots
        ],
        "promised": [
            {"title": picture.title, "shots": [shot.pk for shot in picture.shots.all()]}
            for picture in promised_and_not_taken(shoot)
        ],
        "clocks": [
            {"key": str(clock.key), "words": clock.words, "at": clock.at.isoformat(), "minutes": clock.minutes}
            for clock in clocks_of(shoot)
        ],
    }


def day_now(shoot: Shoot, at: datetime) -> dict[str, Any]:
    """The day as it stands on the server now, for a phone that asks."""
    return day_of(shoot, list(shots_of(shoot)), used=used_tries(shoot), at=at)


def held_of(shoot: Shoot, keys: Iterable[UUID]) -> list[str]:
    """Which of these marks the books hold, read from the tables and not from what was just said."""
    return [str(key) for key in Mark.objects.filter(shoot=shoot, key__in=list(keys)).values_list("key", flat=True)]


def clocks_of(shoot: Shoot) -> list[Mark]:
    """What stands on the set and is dying, the next to go first. ``until`` is when it has held long enough."""
    ended = Mark.objects.filter(about__isnull=False).values("about")
    running = Mark.objects.filter(shoot=shoot, kind=Mark.Kind.PLATED, minutes__isnull=False).exclude(pk__in=ended)
    clocks = list(running)
    for clock in clocks:
        vars(clock).update(until=clock.at + timedelta(minutes=clock.minutes or 0))
    return sorted(clocks, key=lambda clock: clock.until)  # type: ignore[attr-defined]


def hold_limits() -> tuple[Limit, ...]:
    """How long food holds on the plate, with the studio's own minutes."""
    return limits_with(dict(HoldLimit.objects.values_list("key", "minutes")))


def log_of(shoot: Shoot) -> QuerySet[Mark]:
    """Everything that was pressed, in the order in which it happened; ``undone`` holds the marks that took it back."""
    undone = Prefetch("later", queryset=Mark.objects.filter(kind=Mark.Kind.UNDO), to_attr="undone")
    return Mark.objects.filter(shoot=shoot).select_related("shot", "about").prefetch_related(undone)


@dataclass(frozen=True)
class Ticked:
    """A line of the end of the day, and the mark that ticked it."""

    item: Item
    mark: Mark | None


def ticks_of(shoot: Shoot) -> list[Ticked]:
    """The list of the end of the day: who ticked what, and when."""
    standing = Mark.objects.filter(shoot=shoot, kind=Mark.Kind.TICK, trouble="").exclude(
        pk__in=Mark.objects.filter(kind=Mark.Kind.UNDO, about__isnull=False).values("about")
    )
    by_item = {mark.item: mark for mark in standing}
    return [Ticked(item, by_item.get(item.key)) for item in END_OF_DAY]


KEPT_FILES = (
    "studio/tokens.css",
    "studio/components.css",
    "studio/app.css",
    "studio/house.js",
    "studio/onset.js",
    "studio/onset_kept.js",
    "studio/onset_day.js",
    "studio/onset_end.js",
    "studio/icon.svg",
    "django_htmx/htmx-2.min.js",
    "studio/fonts/atkinson-hyperlegible-next-latin-wght-normal.woff2",
    "studio/fonts/atkinson-hyperlegible-next-latin-ext-wght-normal.woff2",
    "studio/fonts/besley-latin-wght-normal.woff2",
    "studio/fonts/besley-latin-ext-wght-normal.woff2",
)
WORKER = "studio/onset_worker.js"


@cache
def worker_parts() -> tuple[str, str, tuple[str, ...]]:
    """The worker's program, a digest of all the phone keeps, and the addresses of those files. A changed file makes a new worker."""
    files = {name: _bytes_of(name) for name in (WORKER, *KEPT_FILES)}
    digest = hashlib.sha256(b"".join(files.values())).hexdigest()[:12]
    return files[WORKER].decode(), digest, tuple(static(name) for name in KEPT_FILES)


def _bytes_of(name: str) -> bytes:
    found = finders.find(name)
    if found is None:
        raise FileNotFoundError(name)
    return Path(str(found)).read_bytes()


# The end of the day


def end_page(shoot: Shoot) -> dict[str, Any]:
    """The page of the end of the day: what is missing, and what is ticked by whom."""
    shots = list(shots_of(shoot))
    decided = [shot for shot in shots if shot.state == Shot.State.DONE and shot.is_must]
    return {
        "shoot": shoot,
        "counts": counts_of(shots),
        "of": len(shots),
        "ticks": ticks_of(shoot),
        "has_oks": sum(bool(shot.okd_by) for shot in decided),
        "musts": len(decided),
        **missing_of(shoot, shots),
    }


def missing_of(shoot: Shoot, shots: Sequence[Shot]) -> dict[str, Any]:
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


def _cue_languages(shoot: Shoot, at: datetime) -> tuple[str, str]:
    """The studio's language and the cook's."""
    business, cook = business_or_none(at), cook_of(shoot)
    return business.language if business else "en", cook.spoken if cook else shoot.client.language


def _shot_screen(shot: Shot, used: int, languages: tuple[str, str]) -> dict[str, Any]:
    """What a shot says: tries, and the words to say in the studio's language and beside it in the cook's."""
    ours, theirs = languages
    words = cues_in(shot.cues, ours)
    return {
        "cues": words,
        "cue_size": cue_size(words),
        "cue_language": ours,
        "also": cues_in(shot.cues, theirs) if theirs != ours else [],
        "also_language": theirs,
        "how_often": HOW_OFTEN[shot.moment.repeat] if shot.moment and shot.moment.repeat in FEW else "",
        "tries_left": tries_left(shot.tries, used),
        "take": used + 1,
    }


def _lines(shots: Sequence[Shot]) -> list[Line]:
    return [Line(shot.pk, shot.state) for shot in shots]
