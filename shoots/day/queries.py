import hashlib
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import asdict, dataclass, replace
from datetime import datetime, timedelta
from functools import cache
from pathlib import Path
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from django.contrib.staticfiles import finders
from django.db.models import Prefetch, QuerySet
from django.templatetags.static import static

from shared.business.queries import business_or_none, zone
from shoots.brief.models import AgreedPicture, Part, Shoot, ShootPerson
from shoots.day.card import Card, card_of
from shoots.day.holding import END_OF_DAY, QUICK_NOTES, Item, Limit, limits_with
from shoots.day.marks import Line, as_the_day_brings, next_open, strokes, tries_left
from shoots.day.models import HoldLimit, Mark, Take
from shoots.plan.models import Shot
from shoots.plan.moments import HOW_OFTEN
from shoots.plan.queries import cook_of, counts_of, cues_in
from shoots.safety.queries import calls_of

END = "end"
FEW = ("once", "many", "keep")
MOST_NAMED = 5
CLOCK_KINDS = (Mark.Kind.PLATED, Mark.Kind.CLEARED, Mark.Kind.UNDO)
COUNTED = (Take.Outcome.DONE, Take.Outcome.AGAIN)


def takes_standing(shot: Shot) -> QuerySet[Take]:
    """What was pressed for a shot and not undone, in order."""
    return shot.takes.exclude(outcome=Take.Outcome.UNDO).filter(undone_by=None)


def shot_on_the_table(shots: Sequence[Shot], *, wanted: str = "", after: str = "") -> Shot | None:
    """The shot the screen shows: the one asked for, else the next open one; nothing when all are behind you, or for ``end``."""
    if wanted == END:
        return None
    by_key = {shot.pk: shot for shot in shots}
    if wanted.isdecimal() and int(wanted) in by_key:
        return by_key[int(wanted)]
    key = next_open(_lines(shots), int(after) if after.isdecimal() else None)
    return by_key[key] if key is not None else None


def set_shoot(pk: int) -> QuerySet[Shoot]:
    """One shoot with what the screen on set asks of it: client, kitchen, people."""
    people = Prefetch("people", queryset=ShootPerson.objects.select_related("person").order_by("pk"))
    return Shoot.objects.filter(pk=pk).select_related("client", "kitchen").prefetch_related(people)


def set_zone(shoot: Shoot, at: datetime) -> ZoneInfo:
    """The clock of the set: the kitchen's, or the business's while no kitchen is named."""
    try:
        return ZoneInfo(shoot.kitchen.time_zone) if shoot.kitchen else zone(at)
    except (ZoneInfoNotFoundError, ValueError, OSError):  # a kitchen written down with a zone nobody knows
        return zone(at)


def set_screen(shoot: Shoot, *, at: datetime, wanted: str = "", after: str = "") -> dict[str, Any]:
    """Everything the screen on set shows, in a constant number of queries: the shot on the table, and all others to go on without network.

    ``shoot`` is one of ``set_shoot``.
    """
    shots = set_shots(shoot)
    shot = shot_on_the_table(shots, wanted=wanted, after=after)
    promises = promises_of(shoot)
    day = day_of(shoot, shots, promises, at=at)
    languages = _cue_languages(shoot, at)
    cards = {each.pk: shot_card(each, languages) for each in shots}
    screen: dict[str, Any] = {
        "shoot": shoot,
        "shots": shots,
        "shot": shot,
        "counts": counts_of(shots),
        "last": day.last,
        "of": len(shots),
        "clocks": day.clocks,
        "limits": hold_limits(),
        "quick_notes": QUICK_NOTES,
        "strokes": strokes(_lines(shots), shot.pk if shot else None),
        "behind": sum(each.state in ("done", "skipped") for each in shots),
        "day": day.values,
        "cards": {key: _said(card) for key, card in cards.items()},
        "clients": client_names(shoot),
        "calls": calls_of(shoot),
        "zone": set_zone(shoot, at).key,
        **missing_of(shots, promises),
    }
    if shot is None:
        return screen
    used, following = day.used[shot.pk], next_open(_lines(shots), shot.pk)
    return {
        **screen,
        "card": cards[shot.pk],
        "take": used + 1,
        "tries_left": tries_left(shot.tries, used),
        "number": [each.pk for each in shots].index(shot.pk) + 1,
        "next": next((each for each in shots if each.pk == following and each.pk != shot.pk), None),
    }


def set_shots(shoot: Shoot) -> list[Shot]:
    """The shots as the day brings them, each with its dish and moment: by the run where its times are on them, else as listed."""
    shots = list(shoot.shots.select_related("dish", "moment"))
    order = as_the_day_brings([(shot.planned_day, shot.planned_time) for shot in shots])
    return [shots[place] for place in order]


def shot_card(shot: Shot, languages: tuple[str, str]) -> Card:
    """What a shot says on set, its cues in the studio's language and beside it in the cook's."""
    ours, theirs = languages
    return card_of(
        title=shot.title,
        dish=shot.dish.name if shot.dish else "",
        planned=shot.planned_words,
        often=HOW_OFTEN[shot.moment.repeat] if shot.moment and shot.moment.repeat in FEW else "",
        cues=cues_in(shot.cues, ours),
        language=ours,
        also=cues_in(shot.cues, theirs) if theirs != ours else (),
        also_language=theirs,
        hazard=shot.hazard,
        note=shot.note,
        keep_back=shot.keep_back,
        angle=shot.angle,
        distance=shot.distance,
        light=shot.light,
        props=shot.props,
    )


def _said(card: Card) -> dict[str, str]:
    """What of a card is to be shown, for JSON."""
    return {name: words for name, words in asdict(card).items() if words}


# What was promised


@dataclass(frozen=True)
class Promise:
    """A picture wanted or agreed, and the keys of the shots that can serve it, in the order of the list."""

    title: str
    dish: str
    shots: tuple[int, ...]


def promises_of(shoot: Shoot) -> list[Promise]:
    """The pictures promised to the client, in one query."""
    rows = (
        shoot.agreed_pictures.exclude(state=AgreedPicture.State.LEFT_OUT)
        .order_by("order", "pk", "shots__order", "shots__pk")
        .values_list("pk", "title", "dish__name", "shots__pk")
    )
    found: dict[int, Promise] = {}
    for pk, title, dish, shot in rows:
        had = found.get(pk, Promise(title, dish or "", ()))
        found[pk] = replace(had, shots=(*had.shots, shot)) if shot is not None else had
    return list(found.values())


# What a phone keeps and sends


@dataclass(frozen=True)
class DayOnSet:
    """The day as it stands. ``values`` is what a phone keeps to reckon on without network: plain, for JSON, times in ISO 8601 with their
    offset. ``last`` is the last press, if nothing was pressed since.
    """

    used: Counter[int]
    clocks: list[Mark]
    last: Take | None
    values: dict[str, Any]


def day_of(shoot: Shoot, shots: Sequence[Shot], promises: Sequence[Promise], *, at: datetime) -> DayOnSet:
    """The day of these shots of a shoot, in two queries."""
    by_key = {shot.pk: shot for shot in shots}
    takes = list(Take.objects.filter(shot__shoot=shoot).order_by("at", "pk"))
    undone = {take.undoes_id for take in takes}
    used = Counter(take.shot_id for take in takes if take.outcome in COUNTED and take.pk not in undone)
    last = {take.shot_id: take.at for take in takes if take.outcome != Take.Outcome.UNDO}  # the latest of each stands
    marks = list(Mark.objects.filter(shoot=shoot).only("key", "kind", "words", "at", "minutes", "shot_id", "about_id", "shoot_id"))  # fmt: skip
    made_by = {mark.shot_id: mark.key for mark in marks if mark.kind == Mark.Kind.UNPLANNED}
    clocks = running_clocks(marks)
    newest = takes[-1] if takes and takes[-1].outcome != Take.Outcome.UNDO else None
    if newest is not None and newest.shot_id in by_key:
        newest.shot = by_key[newest.shot_id]
    values = {
        "at": at.isoformat(),
        "held": len(marks),
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
        "promised": [{"title": each.title, "shots": list(each.shots)} for each in promises],
        "clocks": [
            {"key": str(clock.key), "words": clock.words, "at": clock.at.isoformat(), "minutes": clock.minutes}
            for clock in clocks
        ],
    }
    return DayOnSet(used, clocks, newest, values)


def day_now(shoot: Shoot, at: datetime) -> dict[str, Any]:
    """The day as it stands on the server now, for a phone that asks."""
    return day_of(shoot, set_shots(shoot), promises_of(shoot), at=at).values


def held_of(shoot: Shoot, keys: Iterable[UUID]) -> list[str]:
    """Which of these marks the books hold, read from the tables and not from what was just said."""
    return [str(key) for key in Mark.objects.filter(shoot=shoot, key__in=list(keys)).values_list("key", flat=True)]


def running_clocks(marks: Iterable[Mark]) -> list[Mark]:
    """What stands on the set and is dying, the next to go first, of all marks of a day. ``until`` is when it has held long enough.

    A clock ends with the mark that clears it or takes it back, and runs on when that mark is taken back itself.
    """
    marks = list(marks)
    undone = {mark.about_id for mark in marks if mark.kind == Mark.Kind.UNDO}
    ended = undone | {mark.about_id for mark in marks if mark.kind == Mark.Kind.CLEARED and mark.pk not in undone}
    clocks = [mark for mark in marks if mark.kind == Mark.Kind.PLATED and mark.minutes and mark.pk not in ended]
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
    "studio/onset_sending.js",
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
    shots = set_shots(shoot)
    decided = [shot for shot in shots if shot.state == Shot.State.DONE and shot.is_must]
    ticks = ticks_of(shoot)
    return {
        "shoot": shoot,
        "counts": counts_of(shots),
        "of": len(shots),
        "ticks": ticks,
        "ticked": sum(line.mark is not None for line in ticks),
        "has_oks": sum(bool(shot.okd_by) for shot in decided),
        "no_ok": [shot for shot in decided if not shot.okd_by][:MOST_NAMED],
        "musts": len(decided),
        "clocks": running_clocks(shoot.marks.filter(kind__in=CLOCK_KINDS)),
        **missing_of(shots, promises_of(shoot)),
    }


def missing_of(shots: Sequence[Shot], promises: Sequence[Promise]) -> dict[str, Any]:
    """What to look at while the pan is still warm: promised pictures not taken, shots to repeat, shots skipped."""
    done = {shot.pk for shot in shots if shot.state == Shot.State.DONE}
    return {
        "not_taken": [each for each in promises if done.isdisjoint(each.shots)],
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


def _lines(shots: Sequence[Shot]) -> list[Line]:
    return [Line(shot.pk, shot.state) for shot in shots]
