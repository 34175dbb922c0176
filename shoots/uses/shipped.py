"""The two trees that ship with the program."""

from __future__ import annotations

from shoots.uses.media_tree import MEDIA
from shoots.uses.territory_tree import TERRITORIES
from shoots.uses.trees import Trees

SHIPPED = Trees(MEDIA, TERRITORIES)
