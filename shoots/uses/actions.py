"""The trees of media and territories are kept here: each version once, for good."""

from datetime import date

from django.db import transaction

from shared.papers.kept import digest_of
from shoots.uses.models import TreeVersion
from shoots.uses.shipped import AS_SHIPPED
from shoots.uses.stored import MEDIA, TERRITORIES, tree_data
from shoots.uses.trees import Tree


@transaction.atomic
def keep_first_trees(*, on: date) -> None:
    """Writes the shipped trees down as version 1, unless they are there."""
    if TreeVersion.objects.filter(number=1).count() == 2:
        return
    for kind, tree in ((MEDIA, AS_SHIPPED.media), (TERRITORIES, AS_SHIPPED.territories)):
        nodes = tree_data(tree)
        values = {"name": tree.version, "valid_from": on, "nodes": nodes, "sha256": digest_of(nodes)}
        TreeVersion.objects.get_or_create(kind=kind, number=1, defaults=values)


@transaction.atomic
def keep_tree(tree: Tree, *, kind: str, number: int, change: str, by: str, on: date) -> TreeVersion:
    """Writes the next version of a tree down; ``change`` says in words what is different."""
    nodes = tree_data(tree)
    return TreeVersion.objects.create(
        kind=kind,
        number=number,
        name=tree.version,
        valid_from=on,
        nodes=nodes,
        sha256=digest_of(nodes),
        change=change[:200],
        made_by=by,
    )
