from collections.abc import Iterator
from contextlib import contextmanager

from django.db.models import OuterRef, QuerySet, Subquery

from shoots.uses.in_force import reckoned_as_found
from shoots.uses.models import TreeVersion
from shoots.uses.shipped import AS_SHIPPED, IN_FORCE
from shoots.uses.stored import MEDIA, TERRITORIES, tree_from
from shoots.uses.trees import Tree, Trees

# A version never changes, so the tree made from it serves as long as the process lives. Found by name and hash.
_BUILT: dict[tuple[str, str], Tree] = {}


class UnknownTree(LookupError):
    """No tree of this name was ever kept."""


def newest_trees() -> Trees:
    """The newest trees of the books, in one query once they are built; the shipped ones where nothing was changed."""
    newest = TreeVersion.objects.filter(kind=OuterRef("kind")).order_by("-number").values("number")[:1]
    rows = TreeVersion.objects.filter(number=Subquery(newest)).order_by().values_list("kind", "name", "sha256")
    found = {kind: _built(name, sha256) for kind, name, sha256 in rows}
    return Trees(found.get(MEDIA, AS_SHIPPED.media), found.get(TERRITORIES, AS_SHIPPED.territories))


def tree_of(version: str) -> Tree:
    """The tree a licence names in ``tree_version``, as it was. Raises ``UnknownTree``."""
    for shipped in (AS_SHIPPED.media, AS_SHIPPED.territories):
        if version == shipped.version:
            return shipped
    row = TreeVersion.objects.filter(name=version).values_list("name", "sha256").first()
    if row is None:
        raise UnknownTree(version)
    return _built(*row)


def _built(name: str, sha256: str) -> Tree:
    known = _BUILT.get((name, sha256))
    if known is None:
        row = TreeVersion.objects.get(name=name)
        known = _BUILT[name, sha256] = tree_from(row.nodes, kind=row.kind, version=name)
    return known


@contextmanager
def trees_of_the_books() -> Iterator[Trees]:
    """Inside it every reckoning that is handed no trees takes the newest of the books, looked up when the first one is needed."""
    with reckoned_as_found(newest_trees):
        yield IN_FORCE


def tree_versions() -> QuerySet[TreeVersion]:
    """Every version without its nodes, the newest first."""
    return TreeVersion.objects.defer("nodes").order_by("-valid_from", "-pk")
