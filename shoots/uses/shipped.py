"""The two trees that ship with the program, and those a reckoning takes when it is handed none."""

from __future__ import annotations

from shoots.uses.in_force import trees_now
from shoots.uses.media_tree import MEDIA
from shoots.uses.territory_tree import TERRITORIES
from shoots.uses.trees import Tree, Trees

AS_SHIPPED = Trees(MEDIA, TERRITORIES)
"""Version 1 of both trees."""


class TreesInForce(Trees):
    """The trees in force: those shipped, or the newest of the books inside ``reckoned_with``."""

    __slots__ = ()

    def __init__(self) -> None:
        pass

    @property
    def media(self) -> Tree:
        return (trees_now() or AS_SHIPPED).media

    @property
    def territories(self) -> Tree:
        return (trees_now() or AS_SHIPPED).territories


IN_FORCE = TreesInForce()
"""What a question is answered with where no trees are handed in: the shipped ones and whatever the studio added to them."""
