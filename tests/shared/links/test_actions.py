from datetime import timedelta

import pytest

from shared.links.actions import call_back_link, call_back_links, make_link, mark_opened, mark_used
from shared.links.models import PrivateLink
from shared.links.queries import LinkCalledBack, LinkExpired, LinkUnknown, find_link, link_token, links_for
from tests.factories.shared import EARLY

pytestmark = [pytest.mark.both, pytest.mark.django_db]
WEEK = timedelta(days=7)


def a_link() -> PrivateLink:
    return make_link("estimate", subject="estimate:12", expires_at=EARLY + WEEK, at=EARLY, person="Maro Lantadze")


def test_the_token_opens_its_purpose_and_is_nowhere_in_the_table() -> None:
    link = a_link()
    token = link_token(link)
    assert find_link(token, "estimate", EARLY) == link
    assert len(token) == 43
    assert token not in str(PrivateLink.objects.values().get())
    with pytest.raises(LinkUnknown):
        find_link(token, "release", EARLY)
    with pytest.raises(LinkUnknown):
        find_link(token[:-1] + "~", "estimate", EARLY)


def test_a_link_opens_until_the_moment_it_expires() -> None:
    token = link_token(a_link())
    find_link(token, "estimate", EARLY + WEEK - timedelta(seconds=1))
    with pytest.raises(LinkExpired, match="has expired"):
        find_link(token, "estimate", EARLY + WEEK)


def test_a_link_that_was_called_back_opens_nothing() -> None:
    link = a_link()
    call_back_link(link, EARLY + timedelta(hours=1))
    call_back_link(link, EARLY + timedelta(hours=2))
    assert link.called_back_at == EARLY + timedelta(hours=1)
    with pytest.raises(LinkCalledBack):
        find_link(link_token(link), "estimate", EARLY + timedelta(hours=3))


def test_all_links_to_one_thing_are_called_back_together() -> None:
    a_link(), a_link()
    other = make_link("estimate", subject="estimate:13", expires_at=EARLY + WEEK, at=EARLY)
    assert call_back_links("estimate:12", purpose="estimate", at=EARLY) == 2
    assert find_link(link_token(other), "estimate", EARLY)
    assert links_for("estimate:12").count() == 2


def test_openings_are_counted_and_the_first_is_kept() -> None:
    link = a_link()
    mark_opened(link, EARLY)
    mark_opened(link, EARLY + WEEK)
    assert (link.first_opened_at, link.last_opened_at, link.times_opened) == (EARLY, EARLY + WEEK, 2)
    mark_used(link, EARLY)
    mark_used(link, EARLY + WEEK)
    assert link.used_at == EARLY
