"""A tree as the books keep it: plain nodes, their hash, and the changes a studio may make to them."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any

from shoots.uses.territory_tree import COUNTRIES, SPARE
from shoots.uses.trees import DEEPEST, Node, Tree

MEDIA, TERRITORIES = "media", "territories"
LONGEST_CODE = 60
# ISO 3166-2:2020, clause 5.2 as from memory: the country's alpha-2 code, a hyphen, up to three letters or digits.
REGION = re.compile(r"[A-Z]{2}-[A-Z0-9]{1,3}")


class CodeRefused(ValueError):
    """A code or name that cannot be added. `part` is *name*, *code* or *parent*."""

    def __init__(self, part: str, message: str) -> None:
        super().__init__(message)
        self.part = part


def tree_data(tree: Tree) -> list[dict[str, Any]]:
    """The nodes in their order, as plain data; marks that are not set are left out."""
    return [
        {"code": node.code, "parent": node.parent}
        | {mark: True for mark in ("exhaustive", "counted", "own_promotion") if getattr(node, mark)}
        | ({"names": dict(node.names)} if node.names else {})
        for node in tree.nodes.values()
    ]


def tree_from(nodes: Iterable[Mapping[str, Any]], *, kind: str, version: str) -> Tree:
    """The tree of kept nodes; countries have their spare numbers again. Raises InvalidTree."""
    return _tree([_node(each) for each in nodes], kind=kind, version=version)


def _node(kept: Mapping[str, Any]) -> Node:
    names = tuple(sorted((kept.get("names") or {}).items()))
    marks = {mark: bool(kept.get(mark)) for mark in ("exhaustive", "counted", "own_promotion")}
    return Node(kept["code"], kept["parent"], names=names, **marks)


def _tree(nodes: Iterable[Node], *, kind: str, version: str) -> Tree:
    spare = dict.fromkeys(COUNTRIES, SPARE) if kind == TERRITORIES else None
    return Tree(nodes, version=version, spare=spare)


def medium_code(parent: str, name: str) -> str:
    """*web.newsletters* of “Newsletters” below `web`; directly below all media without a dot. Raises CodeRefused."""
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode().lower()
    part = re.sub(r"[^a-z0-9]+", "_", plain).strip("_")
    if not part:
        raise CodeRefused("name", "Write the English name with at least one of the letters a to z.")
    code = part if parent == "all" else f"{parent}.{part}"
    if len(code) > LONGEST_CODE:
        raise CodeRefused("name", "This name is too long here. Write a shorter one.")
    return code


def region_code(typed: str) -> tuple[str, str]:
    """A region's code and the country it lies in: *DE-BY*, *DE*. Raises CodeRefused."""
    code = typed.strip().upper()
    if not REGION.fullmatch(code):
        raise CodeRefused("code", "A region has its country's two letters, a hyphen and up to three signs: DE-BY.")
    if code[:2] not in COUNTRIES:
        raise CodeRefused("code", f"“{code[:2]}” is no country of ISO 3166-1.")
    return code, code[:2]


def region_parent(tree: Tree, code: str, parent: str) -> str:
    """The code a region goes below: its country, or a region of the same country. Raises CodeRefused."""
    country, above = code[:2], parent or code[:2]
    while above and above != country:
        above = (tree.nodes[above].parent if above in tree else None) or ""
    if not above:
        raise CodeRefused("parent", f"“{code}” can't lie in “{parent}”: that is no part of its country.")
    return parent or country


def with_node(tree: Tree, node: Node, *, kind: str, version: str) -> Tree:
    """The tree with one more code below a code it has. Every older code keeps its place. Raises CodeRefused."""
    if node.parent not in tree:
        raise CodeRefused("parent", f"“{node.parent}” is not in the tree, so nothing can be added below it.")
    if _depth(tree, node.parent) >= DEEPEST:
        raise CodeRefused("parent", f"“{node.parent}” lies {DEEPEST} levels deep: nothing can be added below it.")
    if node.code in tree:
        raise CodeRefused("code", f"“{node.code}” is there already. Rename it, or choose another name.")
    _refuse_a_doubled_name(tree, node)
    new = _tree([*tree.nodes.values(), node], kind=kind, version=version)
    tree.check_change(new, named=frozenset(tree.nodes))
    return new


def renamed(tree: Tree, code: str, names: Mapping[str, str], *, kind: str, version: str) -> Tree:
    """The tree with another name for a code; the code and its meaning stay. Raises CodeRefused."""
    if code not in tree:
        raise CodeRefused("code", f"“{code}” is not in the tree.")
    node = replace(tree.nodes[code], names=tuple(sorted((language, name) for language, name in names.items() if name)))
    _refuse_a_doubled_name(tree, node)
    nodes = [node if each.code == code else each for each in tree.nodes.values()]
    return _tree(nodes, kind=kind, version=version)


def without_node(tree: Tree, code: str, *, named: frozenset[str], kind: str, version: str) -> Tree:
    """The tree without a code of the studio's own. `named`: the codes in use. Raises CodeRefused, TreeChangeRefused."""
    if code not in tree:
        raise CodeRefused("code", f"“{code}” is not in the tree.")
    if tree.children(code):
        raise CodeRefused("code", f"“{code}” has codes below it. Take those out first.")
    new = _tree([each for each in tree.nodes.values() if each.code != code], kind=kind, version=version)
    tree.check_change(new, named=named)
    return new


def _depth(tree: Tree, code: str | None) -> int:
    depth = 0
    while code is not None:
        depth, code = depth + 1, tree.nodes[code].parent
    return depth


def _refuse_a_doubled_name(tree: Tree, node: Node) -> None:
    wanted = {(language, name.casefold()) for language, name in node.names}
    for other in tree.nodes.values():
        if other.code != node.code and wanted & {(language, name.casefold()) for language, name in other.names}:
            raise CodeRefused("name", f"“{other.code}” has this name already. Choose another one.")
