import pytest

from shoots.scopes.queries import codes_named, lines_of, name_of, named_in_words, own_regions
from shoots.uses.in_force import reckoned_with
from shoots.uses.media_tree import MEDIA
from shoots.uses.stored import with_node
from shoots.uses.territory_tree import TERRITORIES
from shoots.uses.trees import Node, Trees
from tests.factories import licences as make


def test_the_lines_of_a_tree_stand_below_their_parents():
    lines = lines_of("media", MEDIA)
    assert [(line.code, line.depth) for line in lines[:3]] == [("all", 0), ("web", 1), ("web.own", 2)]
    assert len(lines) == len(MEDIA.nodes)
    assert not any(line.is_own for line in lines)


def test_own_regions_are_those_the_program_did_not_bring():
    bavaria = Node("DE-BY", "DE", names=(("en", "Bavaria"),))
    tree = with_node(TERRITORIES, bavaria, kind="territories", version="territories-2")
    with reckoned_with(Trees(MEDIA, tree)):
        assert [(line.code, line.name) for line in own_regions(tree)] == [("DE-BY", "Bavaria")]
        assert name_of("territories", "DE") == "Germany"


@pytest.mark.django_db
def test_who_names_a_code_is_counted_by_kind():
    make.granted(use={**make.ADVERTISING, "use_territories": ["FR"]})
    assert codes_named("territories")["FR"] == {"licence": 1}
    assert named_in_words({"licence": 2, "release": 1}) == "2 licences and 1 release"
