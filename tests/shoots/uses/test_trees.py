import pytest
from hypothesis import given
from hypothesis import strategies as st

from shoots.uses.trees import REST, InvalidTree, Node, Tree, TreeChangeRefused, UnknownCode

SMALL = [
    Node("all", exhaustive=True),
    Node("web", "all"),
    Node("web.own", "web", own_promotion=True),
    Node("web.social", "web"),
    Node("print", "all", counted=True),
    Node("internal", "all"),
]


def tree(nodes=SMALL, **more):
    return Tree(nodes, version="t", **more)


def test_a_node_with_children_owns_a_nameless_rest_unless_it_is_exhaustive():
    assert tree().leaves("web") == {"web.own", "web.social", "web/rest"}
    assert tree().leaves("all") == {"web.own", "web.social", "web/rest", "print", "internal"}
    assert tree().leaves("print") == {"print"}


def test_all_children_make_an_exhaustive_node_and_no_other():
    small = tree()
    assert small.mask(frozenset({"web", "print", "internal"})) == small.node_mask("all")
    assert small.mask(frozenset({"web.own", "web.social"})) != small.node_mask("web")


def test_leaves_are_numbered_depth_first_and_the_rest_is_last():
    small = tree()
    assert small.leaf_names == ["web.own", "web.social", "web/rest", "print", "internal"]
    assert [small.interval(code) for code in ("all", "web", "web.own", "print", "internal")] == [
        (0, 5),
        (0, 3),
        (0, 1),
        (3, 4),
        (4, 5),
    ]


def test_adjacent_and_nested_numbers_are_merged():
    assert tree().intervals(frozenset({"web.own", "web.social", "internal"})) == ((0, 2), (4, 5))
    assert tree().intervals(frozenset({"web", "web.own", "print"})) == ((0, 4),)


def test_regions_added_to_a_country_renumber_that_country_alone():
    world = [Node("world"), Node("DE", "world"), Node("AT", "world")]
    before = tree(world, spare={"DE": 10, "AT": 10})
    after = tree([*world, Node("DE-BY", "DE"), Node("DE-SN", "DE")], spare={"DE": 10, "AT": 10})
    assert before.interval("DE") == after.interval("DE") == (0, 10)
    assert before.interval("AT") == after.interval("AT") == (10, 20)
    assert after.interval("DE-SN") == (1, 2)
    assert after.leaves("DE") == {"DE-BY", "DE-SN", "DE/rest"}


def test_the_last_region_of_an_exhaustive_country_takes_the_spare_numbers():
    world = [Node("world"), Node("DE", "world", exhaustive=True), Node("DE-BY", "DE"), Node("DE-SN", "DE")]
    assert tree(world, spare={"DE": 10}).intervals(frozenset({"DE-BY", "DE-SN"})) == ((0, 10),)


def test_leaves_are_named_by_the_fewest_codes():
    small = tree()
    assert small.names(small.everything) == ("all",)
    assert small.names(small.mask(frozenset({"web.own", "print"}))) == ("web.own", "print")
    assert small.names(small.node_mask("web") & ~small.node_mask("web.own")) == ("web.social", "web" + REST)
    assert small.names(0) == ()


def test_marks_are_handed_down_and_a_wider_node_has_the_mark_only_if_all_below_have_it():
    small = tree([*SMALL, Node("web.own.blog", "web.own")])
    assert small.is_own_promotion(frozenset({"web.own.blog"}))
    assert small.is_own_promotion(frozenset({"web.own"}))
    assert not small.is_own_promotion(frozenset({"web.own", "web"}))
    assert small.is_counted(frozenset({"all"}))
    assert not small.is_counted(frozenset({"web", "internal"}))


def test_an_unknown_code_is_named():
    with pytest.raises(UnknownCode) as refusal:
        tree().mask(frozenset({"web", "fax"}))
    assert refusal.value.code == "fax"
    with pytest.raises(UnknownCode):
        tree().leaves("fax")
    with pytest.raises(UnknownCode):
        tree().interval("fax")


@pytest.mark.parametrize(
    ("nodes", "code"),
    [
        ([Node("a"), Node("a")], "a"),
        ([Node("a"), Node("b", "c")], "b"),
        ([Node("a"), Node("b", "c"), Node("c", "b")], "b"),
        ([Node("a", "a")], "a"),
        ([Node("a"), Node("a/rest", "a")], "a/rest"),
        ([Node("")], ""),
        ([], ""),
        ([Node("0"), *(Node(str(each), str(each - 1)) for each in range(1, 60))], "50"),
    ],
)
def test_nodes_that_make_no_tree_are_refused(nodes, code):
    with pytest.raises(InvalidTree) as refusal:
        tree(nodes)
    assert refusal.value.code == code


def test_splitting_a_leaf_and_adding_a_node_are_allowed_though_a_licence_names_the_node():
    new = tree([*SMALL, Node("print.menu", "print"), Node("web.display", "web")])
    tree().check_change(new, named=frozenset({"all", "web", "print"}))


@pytest.mark.parametrize(
    ("new", "code"),
    [
        ([node for node in SMALL if node.code != "internal"], "internal"),
        ([Node("internal", "web") if node.code == "internal" else node for node in SMALL], "internal"),
        ([Node("web.social", "all") if node.code == "web.social" else node for node in SMALL], "web"),
        ([Node("web", "all", exhaustive=True) if node.code == "web" else node for node in SMALL], "web"),
    ],
    ids=["deleted", "moved", "a child moved away", "the rest taken away"],
)
def test_a_change_that_takes_something_from_a_licence_is_refused(new, code):
    with pytest.raises(TreeChangeRefused) as refusal:
        tree().check_change(tree(new), named=frozenset({code}))
    assert refusal.value.code == code
    tree().check_change(tree(new), named=frozenset({"print"}))


@st.composite
def forests(draw):
    count = draw(st.integers(1, 9))
    nodes = []
    for place in range(count):
        parent = None if place == 0 else draw(st.sampled_from([None, *(str(each) for each in range(place))]))
        nodes.append(Node(str(place), parent, exhaustive=draw(st.booleans())))
    return nodes


def slow_leaves(nodes, code):
    children = [node.code for node in nodes if node.parent == code]
    found = {leaf for child in children for leaf in slow_leaves(nodes, child)}
    exhaustive = next(node.exhaustive for node in nodes if node.code == code)
    return found | ({code} if not children else set() if exhaustive else {code + REST})


@given(forests(), st.data())
def test_leaves_masks_and_numbers_agree_with_a_slow_reading(nodes, data):
    small = tree(nodes, spare=dict.fromkeys(data.draw(st.sets(st.sampled_from([node.code for node in nodes]))), 4))
    codes = sorted(small.nodes)
    for code in codes:
        assert small.leaves(code) == slow_leaves(nodes, code) != set()
    one, other = (frozenset(data.draw(st.sets(st.sampled_from(codes), min_size=1))) for _ in "ab")
    slow_one = {leaf for code in one for leaf in slow_leaves(nodes, code)}
    slow_other = {leaf for code in other for leaf in slow_leaves(nodes, code)}
    assert bool(small.mask(one) & small.mask(other)) == bool(slow_one & slow_other)
    assert (not small.mask(one) & ~small.mask(other)) == (slow_one <= slow_other)
    numbers_one = {number for low, high in small.intervals(one) for number in range(low, high)}
    numbers_other = {number for low, high in small.intervals(other) for number in range(low, high)}
    assert bool(numbers_one & numbers_other) == bool(slow_one & slow_other)
    assert numbers_one
    named = small.names(small.mask(one))
    assert {
        leaf for code in named for leaf in ({code} if code.endswith(REST) else slow_leaves(nodes, code))
    } == slow_one
