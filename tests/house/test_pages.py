"""Every page: in the table, readable by everyone at desk and phone, as quick with three rows as with one."""

from collections import Counter

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import resolve

from tests.house import pages

# WCAG 2.2, levels A and AA, as axe-core tags its rules.
LEVEL_AA = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"], "resultTypes": ["violations"]}
DESK, PHONE = {"width": 1280, "height": 800}, {"width": 390, "height": 844}


def each(rows: dict[str, pages.Row]):
    return pytest.mark.parametrize("name", sorted(rows))


@pytest.fixture
def row(name, request):
    return pages.table()[name]


@pytest.fixture
def reader(row, owner, client_for):
    """A test client of whoever the row says reads it."""
    return client_for(None if row.seen_by == "stranger" else owner)


def test_every_url_name_has_one_row_and_every_row_its_url():
    names = [pattern.name for pattern in pages.patterns()]
    assert sorted(name for name in names if name not in pages.table()) == []
    assert sorted(name for name in pages.table() if name not in names) == []
    assert sorted({name for name in names if names.count(name) > 1}) == []


def test_a_url_is_named_as_its_view():
    named = {pattern.name: pattern.callback.__name__ for pattern in pages.patterns()}
    assert {name: view for name, view in named.items() if name != view} == {}


def violations(browser_page) -> list[str]:
    found = Axe().run(browser_page, options=LEVEL_AA).response["violations"]
    return [f"{each['id']}: {each['help']} {[node['target'] for node in each['nodes']][:4]}" for each in found]


def too_wide(browser_page) -> list[str]:
    """What sticks out of a phone, or nothing; a part that scrolls by itself may."""
    return browser_page.evaluate(
        """() => document.documentElement.scrollWidth <= window.innerWidth ? [] :
        [...document.querySelectorAll('body *')].filter(e => e.getBoundingClientRect().right > window.innerWidth + 1)
        .slice(0, 5).map(e => e.tagName + '.' + e.className)"""
    )


@each(pages.pick(pages.Page))
@pytest.mark.django_db(transaction=True)
def test_a_page_can_be_read_by_everyone(name, row, watched, live_server, sign_in, owner):
    if row.seen_by != "stranger":
        sign_in(watched, owner)
    watched.emulate_media(reduced_motion="reduce")
    answer = watched.goto(live_server.url + row.path(3))
    assert answer.status == 200, f"{watched.url} answers {answer.status}"
    watched.wait_for_load_state("networkidle")
    assert watched.locator("h1").count() == 1
    assert watched.locator(".btn.main:visible").count() <= 1
    wrong = {"desk": violations(watched)}
    watched.set_viewport_size(PHONE)
    wrong |= {"phone": violations(watched), "wider than the phone": too_wide(watched)}
    assert not {where: what for where, what in wrong.items() if what}


@each({**pages.pick(pages.Page, lists=True), **pages.pick(pages.Panel, lists=True)})
@pytest.mark.django_db
def test_a_list_costs_the_same_with_one_row_and_with_three(name, row, reader):
    def queries(rows: int) -> Counter[str]:
        path = row.path(rows)
        reader.get(path)  # the first visit may fill a cache
        with CaptureQueriesContext(connection) as seen:
            assert reader.get(path).status_code == 200
        return Counter(query["sql"].partition(" FROM ")[2][:160] for query in seen.captured_queries)

    one, three = queries(1), queries(3)
    more = {tables: (one[tables], count) for tables, count in three.items() if count > one[tables]}
    assert three.total() == one.total(), f"asked at one row, at three rows: {more}"


@each(pages.pick(pages.Panel))
@pytest.mark.django_db
def test_a_panel_is_a_fragment(name, row, reader):
    answer = reader.get(row.path(3), headers={"HX-Request": "true"})
    assert answer.status_code == 200
    assert "<html" not in answer.content.decode()


@each(pages.pick(pages.Paper))
@pytest.mark.django_db
def test_a_paper_is_no_page(name, row, reader):
    answer = reader.get(row.path(1))
    assert answer.status_code == 200
    assert not answer["Content-Type"].startswith("text/html")


@each(pages.pick(pages.Deed))
@pytest.mark.django_db
def test_a_deed_is_done_by_post_only(name, row, reader):
    path = row.path(1)
    assert reader.get(path).status_code in (403, 405)  # 403 where nobody reads
    assert resolve(path).url_name == name
