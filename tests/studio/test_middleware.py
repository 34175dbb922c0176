from datetime import UTC, date, datetime

import pytest
from django.http import HttpResponse

from shoots.scopes.actions import add_region
from shoots.uses.shipped import IN_FORCE
from studio.middleware import TreesOfTheBooks


@pytest.mark.django_db
def test_a_page_is_answered_with_the_newest_trees_of_the_books(rf):
    seen = []

    def view(request):
        seen.append("DE-BY" in IN_FORCE.territories)
        return HttpResponse()

    answer = TreesOfTheBooks(view)
    answer(rf.get("/"))
    add_region("DE-BY", names={"en": "Bavaria"}, by="", at=datetime(2026, 11, 26, tzinfo=UTC), on=date(2026, 11, 26))
    answer(rf.get("/"))
    assert seen == [False, True]
    assert "DE-BY" not in IN_FORCE.territories


@pytest.mark.django_db
def test_a_page_that_asks_nothing_of_the_trees_does_not_look_them_up(rf, django_assert_num_queries):
    with django_assert_num_queries(0):
        TreesOfTheBooks(lambda request: HttpResponse())(rf.get("/"))

    def view(request):
        assert "DE" in IN_FORCE.territories
        assert "web.own" in IN_FORCE.media
        return HttpResponse()

    with django_assert_num_queries(1):
        TreesOfTheBooks(view)(rf.get("/"))
