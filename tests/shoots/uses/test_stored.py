import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared.papers.kept import digest_of
from shoots.uses.media_tree import MEDIA
from shoots.uses.stored import (
    CodeRefused,
    medium_code,
    region_code,
    renamed,
    tree_data,
    tree_from,
    with_node,
    without_node,
)
from shoots.uses.territory_tree import TERRITORIES
from shoots.uses.trees import REST, Node, TreeChangeRefused

# What version 1 is. A program that ships other nodes ships version 2.
FIRST = {
    "media": "ab3a17679e821dd55e7a11f758f8387f649575c3ff95236fe074b9eb5f9a04f8",
    "territories": "7e6397f816119e4797e4181570b25197dc8333c051249090103f6c9ce48958a4",
}


def test_a_tree_is_read_back_as_it_was_kept():
    for kind, tree in (("media", MEDIA), ("territories", TERRITORIES)):
        back = tree_from(tree_data(tree), kind=kind, version=tree.version)
        assert (back.nodes, back.leaf_names) == (tree.nodes, tree.leaf_names)
        assert all(back.interval(code) == tree.interval(code) for code in tree.nodes)


def test_version_1_never_changes():
    assert {"media": digest_of(tree_data(MEDIA)), "territories": digest_of(tree_data(TERRITORIES))} == FIRST


def test_a_medium_is_coded_from_its_name():
    assert medium_code("web", "Newsletters & Blogs") == "web.newsletters_blogs"
    assert medium_code("all", "Café boards") == "cafe_boards"
    for name in ("…", "x" * 61):
        with pytest.raises(CodeRefused):
            medium_code("all", name)


def test_a_region_has_the_form_of_iso_3166_2():
    assert region_code(" de-by ") == ("DE-BY", "DE")
    assert region_code("FR-75C") == ("FR-75C", "FR")
    for typed in ("DE", "DE-", "DE-ABCD", "DEU-BY", "XX-BY", "DE_BY"):
        with pytest.raises(CodeRefused):
            region_code(typed)


def test_a_region_renumbers_its_country_alone():
    new = with_node(TERRITORIES, Node("DE-BY", "DE"), kind="territories", version="territories-2")
    moved = {code for code in TERRITORIES.nodes if TERRITORIES.interval(code) != new.interval(code)}
    assert moved == set()
    low, high = new.interval("DE")
    assert low <= new.interval("DE-BY")[0] < new.interval("DE-BY")[1] < high


@given(st.data())
def test_whatever_is_added_every_older_code_keeps_its_leaves_and_no_other_code_gains_them(data):
    tree = MEDIA
    for turn in range(data.draw(st.integers(1, 6))):
        parent = data.draw(st.sampled_from(sorted(tree.nodes)))
        new = with_node(tree, Node(f"own_{turn}", parent), kind="media", version=f"media-{turn + 2}")
        above, code = set(), parent
        while code is not None:
            above.add(code)
            code = tree.nodes[code].parent
        for code in tree.nodes:
            before, after = tree.leaves(code), new.leaves(code)
            # A leaf that was split stands by its code's rest; nothing else may be lost.
            kept = {leaf if leaf in after else leaf + REST for leaf in before}
            assert kept <= after
            assert after - kept == ({f"own_{turn}"} if code in above else set())
        assert all(tree.nodes[code] == new.nodes[code] for code in tree.nodes)
        tree = new


def test_taking_out_moving_and_doubling_are_refused_where_they_would_change_a_licence():
    new = with_node(MEDIA, Node("web.blog", "web"), kind="media", version="media-2")
    for named in ({"web.blog"}, {"web"}, {"all"}):
        with pytest.raises(TreeChangeRefused):
            without_node(new, "web.blog", named=frozenset(named), kind="media", version="media-3")
    back = without_node(new, "web.blog", named=frozenset({"print"}), kind="media", version="media-3")
    assert back.nodes == MEDIA.nodes
    with pytest.raises(CodeRefused, match="below it"):
        without_node(new, "web", named=frozenset(), kind="media", version="media-3")
    with pytest.raises(CodeRefused, match="there already"):
        with_node(new, Node("web.blog", "web"), kind="media", version="media-3")


def test_a_name_is_given_once_and_the_code_stays():
    named = renamed(MEDIA, "web.own", {"en": "own site", "de": ""}, kind="media", version="media-2")
    assert named.given_name("web.own", "de") == named.given_name("web.own", "en") == "own site"
    assert named.leaf_names == MEDIA.leaf_names
    with pytest.raises(CodeRefused, match="has this name"):
        renamed(named, "web.email", {"en": "Own site"}, kind="media", version="media-3")
    with pytest.raises(CodeRefused, match="not in the tree"):
        renamed(named, "web.radio", {"en": "Radio"}, kind="media", version="media-3")
