import pytest

from tests.benchmarks.walk import report
from tests.factories.clients import ClientFactory, ClientPersonFactory
from tests.house import pages

pytestmark = pytest.mark.django_db


def test_a_walk_times_the_fullest_row_that_links_lead_to_and_names_what_it_missed(owner):
    table = {name: pages.table()[name] for name in ("clients", "client_page", "client_shoots_panel", "kitchen_page")}
    _, full, _ = [ClientFactory() for _ in range(3)]
    for _ in range(3):
        ClientPersonFactory(client=full)
    lines = report(table, rounds=1)
    timed = {words[4]: words[5] for words in map(str.split, lines) if len(words) == 6 and words[3].isdigit()}
    assert set(timed) == {"clients", "client_page", "client_shoots_panel"}
    assert timed["client_page"] == f"/clients/{full.pk}/"
    assert [line.rpartition(": ")[2] for line in lines if line.startswith("Not measured")] == ["kitchen_page", "none"]
