from datetime import timedelta
from typing import Any

import pytest

from shared.links.actions import make_link
from shared.links.queries import LinkKeyLost, find_link, link_path, link_token, link_url, shown_path, shown_url
from tests.factories.shared import EARLY

pytestmark = pytest.mark.django_db


def test_a_link_leads_to_the_page_of_its_purpose_at_the_houses_address(settings: Any) -> None:
    settings.SITE_ADDRESS = "https://studio.example"
    link = make_link("invite", subject="user:2", expires_at=EARLY + timedelta(days=1), at=EARLY)
    assert link_path(link) == f"/invited/{link_token(link)}/"
    assert link_url(link) == shown_url(link) == f"https://studio.example/invited/{link_token(link)}/"
    assert shown_path(link) == link_path(link)
    assert shown_url(None) == ""


def test_with_another_key_an_old_link_still_opens_but_is_not_shown_wrong(settings: Any) -> None:
    link = make_link("invite", subject="user:2", expires_at=EARLY + timedelta(days=1), at=EARLY)
    token = link_token(link)
    settings.SECRET_KEY = "another"
    assert find_link(token, "invite", EARLY) == link
    with pytest.raises(LinkKeyLost):
        link_url(link)
    assert (shown_path(link), shown_url(link)) == ("", "")
