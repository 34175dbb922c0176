"""What a studio can do to the trees of media and territories: each change makes the next version and moves no licence."""

from collections.abc import Callable, Mapping
from datetime import date, datetime

from django.db import transaction

from shared.errors import Refusal
from shared.evidence.actions import record_evidence
from shoots.licences.actions import rebuild_boxes
from shoots.scopes.queries import codes_named, name_of, named_in_words
from shoots.uses.actions import keep_first_trees, keep_tree
from shoots.uses.in_force import reckoned_with
from shoots.uses.models import TreeVersion
from shoots.uses.queries import newest_trees
from shoots.uses.shipped import AS_SHIPPED
from shoots.uses.stored import (
    MEDIA,
    TERRITORIES,
    medium_code,
    region_code,
    region_parent,
    renamed,
    with_node,
    without_node,
)
from shoots.uses.trees import Node, Tree, TreeChangeRefused, Trees


class CodeStays(Refusal):
    """A code cannot be taken out: it came with the program, or something names it."""

    def __init__(self, name: str, reason: str) -> None:
        super().__init__(f"“{name}” stays: {reason}.", "Nothing was changed.", "Rename it if its name is wrong.")


def add_medium(
    *, parent: str, names: Mapping[str, str], is_own_promotion: bool, by: str, at: datetime, on: date
) -> str:
    """Adds a medium below a medium and returns its code. A licence on the parent covers it. Raises ``CodeRefused``."""
    code = medium_code(parent, names["en"])
    node = Node(code, parent, own_promotion=is_own_promotion, names=_kept(names))
    _change(
        MEDIA,
        lambda tree, version: with_node(tree, node, kind=MEDIA, version=version),
        change=f"Added {names['en']} ({code})",
        by=by,
        at=at,
        on=on,
    )
    return code


def add_region(typed: str, *, parent: str = "", names: Mapping[str, str], by: str, at: datetime, on: date) -> str:
    """Adds a region of ISO 3166-2 below its country, or below ``parent``, a region of that country, and returns its code.

    A licence on the country or on the parent covers it. Raises ``CodeRefused``.
    """
    code, _country = region_code(typed)

    def added(tree: Tree, version: str) -> Tree:
        node = Node(code, region_parent(tree, code, parent), names=_kept(names))
        return with_node(tree, node, kind=TERRITORIES, version=version)

    _change(
        TERRITORIES,
        added,
        change=f"Added {names['en']} ({code})",
        by=by,
        at=at,
        on=on,
    )
    return code


def rename_code(kind: str, code: str, *, names: Mapping[str, str], by: str, at: datetime, on: date) -> None:
    """Gives a code another name; papers that are out keep the words they were printed with. Raises ``CodeRefused``."""
    _change(
        kind,
        lambda tree, version: renamed(tree, code, names, kind=kind, version=version),
        change=f"Renamed {code}: {names['en']}",
        by=by,
        at=at,
        on=on,
    )


def remove_code(kind: str, code: str, *, by: str, at: datetime, on: date) -> None:
    """Takes a code the studio added out again, as long as nothing names it or what it lies in. Raises ``CodeStays``, ``CodeRefused``."""
    if code in (AS_SHIPPED.media if kind == MEDIA else AS_SHIPPED.territories):
        raise CodeStays(name_of(kind, code), "it came with the program")

    def without(tree: Tree, version: str) -> Tree:
        counts = codes_named(kind)
        if code in counts:
            raise CodeStays(
                name_of(kind, code),
                f"{named_in_words(counts[code])} {'names' if sum(counts[code].values()) == 1 else 'name'} it",
            )
        # Taken out of a wider code that a licence names, it would be taken from the licence too.
        licensed = {each: {"licence": found["licence"]} for each, found in counts.items() if "licence" in found}
        try:
            return without_node(tree, code, named=frozenset(licensed), kind=kind, version=version)
        except TreeChangeRefused as refusal:
            who, where = named_in_words(licensed[refusal.code]), name_of(kind, refusal.code)
            raise CodeStays(name_of(kind, code), f"{who} on “{where}” would lose it") from None

    _change(kind, without, change=f"Took out {code}", by=by, at=at, on=on)


@transaction.atomic
def _change(
    kind: str, changed: Callable[[Tree, str], Tree], *, change: str, by: str, at: datetime, on: date
) -> TreeVersion:
    keep_first_trees(on=on)
    # Whoever changes a tree waits here for whoever is at it; the newest version is read after that.
    TreeVersion.objects.select_for_update().get(kind=kind, number=1)
    number = TreeVersion.objects.filter(kind=kind).latest("number").number + 1
    trees = newest_trees()
    tree = changed(trees.media if kind == MEDIA else trees.territories, f"{kind}-{number}")
    row = keep_tree(tree, kind=kind, number=number, change=change, by=by, on=on)
    with reckoned_with(Trees(tree, trees.territories) if kind == MEDIA else Trees(trees.media, tree)):
        rebuild_boxes()
    record_evidence(
        "tree_changed", subject=f"tree:{row.name}", payload={"change": row.change, "sha256": row.sha256}, at=at
    )
    return row


def _kept(names: Mapping[str, str]) -> tuple[tuple[str, str], ...]:
    return tuple(sorted((language, name) for language, name in names.items() if name))
