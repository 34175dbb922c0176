from datetime import date

import pytest

from shoots.uses.actions import keep_first_trees, keep_tree
from shoots.uses.models import TreeVersion
from shoots.uses.queries import UnknownTree, newest_trees, tree_of, tree_versions, trees_of_the_books
from shoots.uses.shipped import AS_SHIPPED, IN_FORCE
from shoots.uses.stored import renamed

pytestmark = pytest.mark.django_db
ON = date(2026, 11, 26)


def rename(number):
    tree = renamed(newest_trees().media, "web.own", {"en": f"site {number}"}, kind="media", version=f"media-{number}")
    return keep_tree(tree, kind="media", number=number, change="Renamed", by="Tindra Aldermoor", on=ON)


def test_the_first_trees_are_kept_once():
    keep_first_trees(on=ON)
    keep_first_trees(on=date(2027, 1, 1))
    assert set(TreeVersion.objects.values_list("name", "valid_from")) == {("media-1", ON), ("territories-1", ON)}


def test_books_without_a_change_have_the_shipped_trees():
    assert newest_trees() == AS_SHIPPED
    keep_first_trees(on=ON)
    assert newest_trees().media.nodes == AS_SHIPPED.media.nodes


def test_the_newest_trees_cost_one_query_however_many_versions(django_assert_num_queries):
    keep_first_trees(on=ON)
    for number in (2, 3, 4):
        rename(number)
    newest_trees()
    with django_assert_num_queries(1), trees_of_the_books():
        assert IN_FORCE.media.given_name("web.own", "en") == "site 4"
    assert IN_FORCE.media is AS_SHIPPED.media


def test_an_older_version_is_found_as_it_was():
    keep_first_trees(on=ON)
    rename(2)
    rename(3)
    assert tree_of("media-2").given_name("web.own", "en") == "site 2"
    assert tree_of("media-1").given_name("web.own", "en") == ""
    assert [row.name for row in tree_versions()][:2] == ["media-3", "media-2"]
    with pytest.raises(UnknownTree):
        tree_of("media-9")
