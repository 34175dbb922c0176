"""Walks the house from link to link and opens what it found again and again, each time after an empty page."""

import gc
import html
import re
import sys
from collections import Counter, deque
from collections.abc import Iterable, Mapping
from time import process_time
from urllib.parse import urljoin, urlsplit

from django.db import connection
from django.test import Client, override_settings
from django.test.utils import CaptureQueriesContext
from django.urls import NoReverseMatch, Resolver404, resolve, reverse
from django.utils import timezone

from shared.access.models import Role, User
from shared.links.models import PrivateLink
from shared.links.queries import link_path
from tests.benchmarks.ratios import PageTime, ratio_table, verdict
from tests.house import pages

LINK = re.compile(r'\s(?:href|hx-get)="([^"#]+)')
MOST_PATHS_EACH = 40  # of one page: every shoot and client of the demo, and an end to months that lead to months
BY_FORM_ONLY = ("/search/?text=an",)  # what is found stands behind a field, not behind a link
EMPTY = "/empty/"

Readers = Mapping[str, Client]


@override_settings(ROOT_URLCONF="tests.benchmarks.urls")
def report(table: Mapping[str, pages.Row], *, rounds: int) -> list[str]:
    """The lines to print about the books that are open: pages, then the panels they fetch; what was not measured is named."""
    readers = {"owner": _reader(User.objects.filter(role=Role.OWNER).first()), "stranger": _reader(None)}
    found = fullest_paths(table, readers)
    times = time_pages(found, table, readers, rounds=rounds)
    lines: list[str] = []
    for kind in (pages.Page, pages.Panel):
        of_kind = [each for each in times if isinstance(table[each.name], kind)]
        missed = sorted(name for name, row in table.items() if isinstance(row, kind) and name not in found)
        lines += ["", f"{kind.__name__}s", *ratio_table(of_kind), *verdict(of_kind)]
        lines += [f"Not measured, nothing in these books leads there: {', '.join(missed) or 'none'}"]
    return lines


def fullest_paths(table: Mapping[str, pages.Row], readers: Readers) -> dict[str, str]:
    """For each page that links lead to, the path whose answer is longest; a page answering an error has none."""
    waiting = deque([*_doorsteps(table), *BY_FORM_ONLY])
    met, visits = set(waiting), Counter[str]()
    longest: dict[str, tuple[int, str]] = {}
    while waiting:
        path = waiting.popleft()
        name = _name_of(path)
        if name not in table or visits[name] == MOST_PATHS_EACH:
            continue
        visits[name] += 1
        answer = readers[table[name].seen_by].get(path)
        if answer.status_code != 200:
            continue
        longest[name] = max(longest.get(name, (0, "")), (len(answer.content), path))
        fresh = [link for link in _links_on(answer.content.decode(), path) if link not in met]
        met.update(fresh)
        waiting.extend(fresh)
    return {name: path for name, (_, path) in longest.items()}


def time_pages(
    paths: Mapping[str, str], table: Mapping[str, pages.Row], readers: Readers, *, rounds: int
) -> list[PageTime]:
    """Each page once to warm up, once for its queries and once for its calls, then once a round, after an empty page each time.

    Processor time of this process: what waits for a turn on a busy machine is not counted. Neither is sweeping up after the load of
    the demo, which would fall on whichever page comes next.
    """
    reader_of = {name: readers[table[name].seen_by] for name in paths}
    empty_calls = _calls(readers["owner"], EMPTY)
    queries, calls = {}, {}
    for name, path in paths.items():
        reader_of[name].get(path)
        with CaptureQueriesContext(connection) as seen:
            reader_of[name].get(path)
        queries[name], calls[name] = len(seen), _calls(reader_of[name], path)
    seconds, empty_seconds = {name: [] for name in paths}, {name: [] for name in paths}
    gc.collect()
    gc.freeze()
    for _ in range(rounds):
        for name, path in paths.items():
            empty_seconds[name].append(_seconds(readers["owner"], EMPTY))
            seconds[name].append(_seconds(reader_of[name], path))
    return [
        PageTime(name, path, queries[name], calls[name], empty_calls, seconds[name], empty_seconds[name])
        for name, path in paths.items()
    ]


def _reader(person: User | None) -> Client:
    client = Client(SERVER_NAME="127.0.0.1", raise_request_exception=False)
    if person is not None:
        client.force_login(person)
    return client


def _seconds(reader: Client, path: str) -> float:
    began = process_time()
    answer = reader.get(path)
    took = process_time() - began
    if answer.status_code != 200:
        raise RuntimeError(f"{path} answers {answer.status_code}: that is no page to time.")
    return took


def _calls(reader: Client, path: str) -> int:
    """How many functions, Python's own included, are called for a page that was opened before."""
    reader.get(path)
    count = 0

    def on_event(_frame: object, event: str, _arg: object) -> None:
        nonlocal count
        count += event in {"call", "c_call"}

    sys.setprofile(on_event)
    try:
        reader.get(path)
    finally:
        sys.setprofile(None)
    return count


def _doorsteps(table: Iterable[str]) -> list[str]:
    """Where a walk begins: addresses without a number in them, and the private links that were sent."""
    found = []
    for name in table:
        try:
            found.append(reverse(name))
        except NoReverseMatch:
            continue  # of one thing: a list leads there
    open_links = PrivateLink.objects.filter(called_back_at=None, expires_at__gt=timezone.now())
    return [*found, *(link_path(link) for link in open_links)]


def _links_on(page: str, path: str) -> list[str]:
    """Paths that a page's links lead to, in the house and with their questions."""
    parts = [urlsplit(urljoin(path, html.unescape(link))) for link in LINK.findall(page)]
    inside = [each for each in parts if not each.scheme and not each.netloc]
    return [f"{each.path}?{each.query}" if each.query else each.path for each in inside]


def _name_of(path: str) -> str:
    try:
        return resolve(path.partition("?")[0]).url_name or ""
    except Resolver404:
        return ""
