from shoots.uses.in_force import given_name, reckoned_with, trees_now
from shoots.uses.media_tree import MEDIA
from shoots.uses.shipped import IN_FORCE
from shoots.uses.stored import renamed
from shoots.uses.territory_tree import TERRITORIES
from shoots.uses.trees import Trees


def test_inside_it_every_reckoning_takes_the_trees_handed_in_and_afterwards_those_before():
    own = Trees(renamed(MEDIA, "web.own", {"en": "own site"}, kind="media", version="media-2"), TERRITORIES)
    assert trees_now() is None
    with reckoned_with(own):
        assert IN_FORCE.media is own.media
        assert given_name("web.own", "en") == "own site"
        with reckoned_with(Trees(MEDIA, TERRITORIES)):
            assert given_name("web.own", "en") == ""
        assert IN_FORCE.media.version == "media-2"
    assert IN_FORCE.media is MEDIA
