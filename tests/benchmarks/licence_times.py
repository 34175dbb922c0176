"""Prints how long the four questions about rights take in books as large as a lifetime, and that they grow with what is asked about, not with the archive.

    .venv/bin/python -m tests.benchmarks.licence_times --pairs 20000 200000 1000000
    .venv/bin/python -m tests.benchmarks.licence_times --pairs 600000 --postgres
    .venv/bin/python -m tests.benchmarks.licence_times --pairs 600000 --pages

It judges nothing. Each size gets books of its own that are gone when it ends: the demo, and on top of it a lifetime drawn by lot
(`tests/benchmarks/lifetime.py`). Times are ratios to (a) fetching one picture by its key in the same books,
each time just before, and to (b) a plain scan: all licences of the archive read once and kept in memory, then each compared with what
is asked, their days as intervals of `intervaltree`. The scan's reading is not counted. `--pages` times every page of those books besides, as `page_times` does.
"""

import argparse
import os
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from statistics import quantiles
from typing import Any

ROUNDS = 60
SMALL_DEMO = 20
GOAL = 20


@dataclass(frozen=True)
class Timed:
    """A question asked again and again: seconds of each time and of the lookup just before it, and the queries of one."""

    name: str
    seconds: Sequence[float]
    lookups: Sequence[float]
    queries: int

    @property
    def p50(self) -> float:
        return quantiles(self.seconds, n=20)[9]

    @property
    def p95(self) -> float:
        return quantiles(self.seconds, n=20)[18]

    @property
    def by_lookup(self) -> float:
        """The median against that of the lookups between: a machine that slows down meanwhile slows both."""
        return self.p50 / quantiles(self.lookups, n=20)[9]


def table(asked: Sequence[Timed], lookup: Timed, scans: Sequence[Timed]) -> list[str]:
    """One line a question: its times in milliseconds, its queries, and how often it holds the lookup and the scan."""
    of_scan = {scan.name: scan for scan in scans}
    lines = [f"{'p50 ms':>9} {'p95 ms':>9} {'queries':>7} {'/ lookup':>9} {'/ scan':>8}  question"]
    for each in (lookup, *asked):
        scan = of_scan.get(each.name)
        by_scan = f"{each.p50 / scan.p50:8.3f}" if scan else f"{'':>8}"
        lines.append(
            f"{each.p50 * 1000:9.2f} {each.p95 * 1000:9.2f} {each.queries:7} {each.by_lookup:9.1f} {by_scan}  {each.name}"
        )
    return lines


def main() -> None:
    words = argparse.ArgumentParser(description=(__doc__ or "").partition("\n")[0])
    words.add_argument("--pairs", type=int, nargs="+", default=[20_000], help="pairs of licence and picture (%(default)s)")  # fmt: skip
    words.add_argument("--rounds", type=int, default=ROUNDS, help="times each question is asked (%(default)s)")
    words.add_argument("--postgres", action="store_true", help="on a throw-away PostgreSQL")
    words.add_argument("--pages", action="store_true", help="time every page of these books, too")
    chosen = words.parse_args()
    if chosen.postgres:
        raise SystemExit(_again_on_postgres())
    for pairs in chosen.pairs:
        _in_books_of(pairs, rounds=chosen.rounds, with_pages=chosen.pages)


def _again_on_postgres() -> int:
    from tests import postgres

    arguments = [word for word in sys.argv[1:] if word != "--postgres"]
    with postgres.server() as url:
        here = {**os.environ, "DATABASE_URL": url}
        return subprocess.run([sys.executable, "-m", "tests.benchmarks.licence_times", *arguments], env=here).returncode


def _in_books_of(pairs: int, *, rounds: int, with_pages: bool) -> None:
    import django

    if not os.environ.get("DATABASE_URL", "").startswith("postgres://postgres@%2Ftmp%2Fpg-"):
        os.environ.pop("DATABASE_URL", None)  # nobody's own books; a throw-away server alone is let in
    os.environ["DJANGO_SETTINGS_MODULE"] = "tests.settings"
    django.setup()
    from django.db import connection
    from django.test import override_settings
    from django.test.utils import setup_databases, teardown_databases
    from django.utils import timezone

    from billing.estimates.models import Estimate
    from billing.invoices.models import Invoice
    from shoots.pictures.models import Picture
    from studio.demo.actions import load_demo, prepare_log_ins
    from studio.demo.year import ZONE
    from tests.benchmarks.lifetime import Size, fill
    from tests.settings import TEST_FOLDER

    size, on = Size(pairs), timezone.now().astimezone(ZONE).date()
    books = setup_databases(verbosity=0, interactive=False, serialized_aliases=[])
    try:
        with override_settings(MAIL_ADDRESS=""):
            log_ins, _ = prepare_log_ins(TEST_FOLDER)
            load_demo(on=on, log_ins=log_ins, pictures=SMALL_DEMO)
        began = time.perf_counter()
        fill(
            size,
            on=on,
            like=Picture.objects.order_by("pk").first(),
            billed=Invoice.objects.filter(kind="invoice").order_by("pk").first(),
            offered=Estimate.objects.filter(state="accepted", accepted_option__lines__isnull=False)
            .order_by("pk")
            .first(),
        )
        with connection.cursor() as cursor:
            cursor.execute("ANALYZE")  # what either database does by itself in time
        print(
            f"\n{connection.vendor}: {size.shoots:,} shoots, {size.pictures:,} pictures, {size.licences:,} licences on {pairs:,} pairs,"
            f" {size.invoices:,} invoices; written in {time.perf_counter() - began:.0f} s"
        )
        print(*_answers(on, rounds=rounds), sep="\n")
        if with_pages:
            from tests.benchmarks.walk import report
            from tests.house import pages

            print(*report(pages.pick(pages.Page) | pages.pick(pages.Panel), rounds=5), sep="\n")
    finally:
        teardown_databases(books, verbosity=0)


def _answers(on: date, *, rounds: int) -> list[str]:
    from shoots.pictures.models import Picture

    key_range = Picture.objects.filter(number__startswith="LT-").order_by("pk").values_list("pk", flat=True)
    keys = list(key_range)
    step = max(len(keys) // rounds, 1)
    starts = [keys[(place * step) % len(keys)] for place in range(rounds)]
    lookup = _time("one picture by its key", starts, _look_up)
    asked = [_time(name, starts, ask) for name, ask in _questions(on, keys).items()]
    scans = [_time(name, starts[:5], scan) for name, scan in _scans(on, keys).items()]
    one = next(each for each in asked if each.name.startswith("what may I sell"))
    goal = f"One picture: {one.by_lookup:.1f} times the lookup (goal: {GOAL})."
    return [*table(asked, lookup, scans), goal]


def _look_up(key: int) -> Any:
    from shoots.pictures.models import Picture

    return Picture.objects.get(pk=key)


def _questions(on: date, keys: list[int]) -> dict[str, Callable[[int], Any]]:
    """The questions as the house asks them, each of a picture's key: the pictures asked about follow it in the archive."""
    from clients.models import Client
    from shoots.asking.queries import Question, answers_to, pictures_asked
    from shoots.holdings.queries import picture_answer
    from shoots.licences.queries import (
        clashes_of,
        holdings_on,
        licences_ending,
        what_stands_against,
        with_people,
    )
    from shoots.licences.states import BLOCKING
    from shoots.pictures.models import Picture

    house = Client.objects.filter(name__startswith="House").order_by("pk").first()
    place_of = {key: place for place, key in enumerate(keys)}

    def following(key: int, count: int) -> Any:
        start = min(place_of[key], len(keys) - count)
        return with_people(Picture.objects.filter(pk__in=keys[start : start + count]))

    def clash_check(key: int) -> Any:
        pictures = list(following(key, 40))
        return clashes_of(_wanted(pictures, house, on), holdings_on(pictures, states=[each.value for each in BLOCKING]))

    def sell_500(key: int) -> Any:
        return what_stands_against(
            licensee=house, pictures=following(key, 500), use=_USE, first_day=on, last_day=None
        )  # fmt: skip

    def sell_500_and_why_not(key: int) -> Any:
        start = min(place_of[key], len(keys) - 500)
        question = Question(
            _asked(house, on), {"is_own_promotion": False} | _USE, house, house.trade, has_last_day=False
        )
        return answers_to(question, pictures_asked(keys[start : start + 500]))

    return {
        "clash check of a licence on 40 pictures": clash_check,
        "what may I sell of one picture": lambda key: picture_answer(following(key, 1)[0], on),
        "ending within 60 days": lambda key: list(licences_ending(on, days=60)),
        "may I sell these 500 pictures": sell_500,
        "the same, with what would make it yes": sell_500_and_why_not,
    }


_USE = {
    "use_classes": ["advertising"], "use_media": ["web.own", "web.display"], "use_territories": ["DE", "AT"], "use_months": 24, "exclusivity": "picture",
    "exclusive_months": 24, "use_copies": None,
}  # fmt: skip


def _asked(house: Any, on: date) -> Any:
    from shoots.asking.answers import Asked
    from shoots.uses.days import Length
    from shoots.uses.intended import Exclusivity

    return Asked(
        licensee=str(house.pk), trade=house.trade or None, classes=frozenset(_USE["use_classes"]), media=frozenset(_USE["use_media"]),
        territories=frozenset(_USE["use_territories"]), first=on, length=Length(months=_USE["use_months"]), exclusivity=Exclusivity(_USE["exclusivity"]),
        exclusive_months=_USE["exclusive_months"],
    )  # fmt: skip


def _wanted(pictures: Sequence[Any], house: Any, on: date) -> Any:
    from shoots.licences.grants import Grant
    from shoots.licences.states import State
    from shoots.uses.intended import Exclusivity, end_of_term

    until = end_of_term(on, _USE["use_months"], path="use_months")
    return Grant(
        id="wanted", licensee=str(house.pk), pictures=frozenset(str(picture.pk) for picture in pictures), classes=frozenset(_USE["use_classes"]),
        media=frozenset(_USE["use_media"]), territories=frozenset(_USE["use_territories"]), use_from=on, use_until=until, state=State.OFFERED,
        trade=house.trade, exclusivity=Exclusivity.PICTURE, exclusive_until=until,
    )  # fmt: skip


def _scans(on: date, keys: list[int]) -> dict[str, Callable[[int], Any]]:
    """Answers to two of the questions without the house: every licence of the archive looked at, its days an interval."""
    from intervaltree import Interval

    from shoots.licences.models import LicencePicture
    from shoots.uses.shipped import IN_FORCE

    never = date.max
    rows = []
    pictures_of: dict[int, set[int]] = {}
    for row in LicencePicture.objects.select_related("licence").iterator(chunk_size=10_000):
        if row.licence_id not in pictures_of:
            licence = row.licence
            rows.append((licence, Interval(licence.use_from or never, licence.use_until or never)))
        pictures_of.setdefault(row.licence_id, set()).add(row.picture_id)
    leaves: dict[tuple[str, ...], frozenset[int]] = {}

    def leaves_of(tree: Any, codes: Sequence[str]) -> frozenset[int]:
        known = tuple(codes)
        if known not in leaves:
            leaves[known] = frozenset(n for lo, hi in tree.intervals(frozenset(known)) for n in range(lo, hi))
        return leaves[known]

    place_of = {key: place for place, key in enumerate(keys)}
    wanted_days = Interval(on, on + timedelta(days=731))
    media = leaves_of(IN_FORCE.media, _USE["use_media"])
    places = leaves_of(IN_FORCE.territories, _USE["use_territories"])

    def scan(key: int, count: int) -> list[int]:
        start = min(place_of[key], len(keys) - count)
        asked = set(keys[start : start + count])
        return [
            licence.pk
            for licence, days in rows
            if asked & pictures_of[licence.pk]
            and set(_USE["use_classes"]) & set(licence.use_classes)
            and media & leaves_of(IN_FORCE.media, licence.use_media)
            and places & leaves_of(IN_FORCE.territories, licence.use_territories)
            and wanted_days.overlaps(days)
        ]

    soon = Interval(on, on + timedelta(days=61))
    return {
        "clash check of a licence on 40 pictures": lambda key: scan(key, 40),
        "what may I sell of one picture": lambda key: scan(key, 1),
        "ending within 60 days": lambda key: [licence.pk for licence, days in rows if soon.contains_point(days.end)],
        "may I sell these 500 pictures": lambda key: scan(key, 500),
    }


def _time(name: str, keys: Sequence[int], ask: Callable[[int], Any]) -> Timed:
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    with CaptureQueriesContext(connection) as seen:
        ask(keys[0])
    seconds, lookups = [], []
    for key in keys:
        began = time.perf_counter()
        _look_up(key)
        between = time.perf_counter()
        ask(key)
        lookups.append(between - began)
        seconds.append(time.perf_counter() - between)
    return Timed(name, seconds, lookups, len(seen))


if __name__ == "__main__":
    main()
