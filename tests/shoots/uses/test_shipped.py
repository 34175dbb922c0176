from shoots.uses.media_tree import MEDIA
from shoots.uses.shipped import IN_FORCE
from shoots.uses.territory_tree import TERRITORIES


def test_the_program_ships_one_tree_of_media_and_one_of_territories_with_their_versions():
    assert (IN_FORCE.media, IN_FORCE.territories) == (MEDIA, TERRITORIES)
    assert (MEDIA.version, TERRITORIES.version) == ("media-1", "territories-1")
