"""Trees of media and territories: which leaves a code stands for.

A node without children is a leaf. A node with children that is not exhaustive owns one extra nameless leaf, *the rest*
("other print", "elsewhere in South America"). Leaves are kept in depth-first order, the rest last, so every node is one run of
them. A set of leaves is an integer with one bit a leaf (`mask`): meeting, union and difference are `&`, `|` and `& ~`.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

REST = "/rest"
DEEPEST = 50


class InvalidTree(ValueError):
    """The nodes do not make a tree. `code` is the faulty node."""

    def __init__(self, code: str, message: str) -> None:
        super().__init__(message)
        self.code = code


class UnknownCode(ValueError):
    """A code that the tree does not have."""

    def __init__(self, code: str) -> None:
        super().__init__(f"“{code}” is not a known code.")
        self.code = code


class TreeChangeRefused(ValueError):
    """The new tree would take something away from a licence that names `code`."""

    def __init__(self, code: str, message: str) -> None:
        super().__init__(message)
        self.code = code


@dataclass(frozen=True, slots=True)
class Node:
    """One code of a tree with its marks.

    `exhaustive`: the node is exactly the union of its children. `counted`: copies matter. `own_promotion`: used by a house for
    itself, not for others. `names`: language and name of a node the studio added or renamed; the others are named by the program.
    """

    code: str
    parent: str | None = None
    exhaustive: bool = False
    counted: bool = False
    own_promotion: bool = False
    names: tuple[tuple[str, str], ...] = ()


class Tree:
    """An immutable tree of nodes.

    `spare` gives nodes (countries) a block of numbers of that size, so that regions added later renumber that node alone.
    """

    def __init__(self, nodes: Iterable[Node], *, version: str, spare: Mapping[str, int] | None = None) -> None:
        self.version = version
        self.nodes: dict[str, Node] = {}
        for node in nodes:
            if node.code in self.nodes:
                raise InvalidTree(node.code, f"The code “{node.code}” is there twice.")
            if not node.code or node.code.endswith(REST):
                raise InvalidTree(node.code, f"“{node.code}” can't be a code: it is empty or ends in {REST}.")
            self.nodes[node.code] = node
        self.position = {code: place for place, code in enumerate(self.nodes)}
        self._children: dict[str | None, list[str]] = {}
        for node in self.nodes.values():
            if node.parent is not None and node.parent not in self.nodes:
                raise InvalidTree(node.code, f"The parent “{node.parent}” of “{node.code}” is not in the tree.")
            self._children.setdefault(node.parent, []).append(node.code)
        self.leaf_names: list[str] = []
        self._runs: dict[str, tuple[int, int]] = {}
        self._intervals: dict[str, tuple[int, int]] = {}
        self._masks: dict[frozenset[str], int] = {}
        self._spare = dict(spare or {})
        number = 0
        for root in self._children.get(None, []):
            number = self._number(root, number, depth=1)
        for code in self.nodes:
            if code not in self._runs:
                raise InvalidTree(code, f"“{code}” hangs below itself, not below the root.")
        if not self.nodes:
            raise InvalidTree("", "The tree has no node.")
        self.everything = (1 << len(self.leaf_names)) - 1
        self.own_promotion_mask = self._marked([node.code for node in self.nodes.values() if node.own_promotion])
        self.counted_mask = self._marked([node.code for node in self.nodes.values() if node.counted])

    def _number(self, code: str, low: int, *, depth: int) -> int:
        if depth > DEEPEST:
            raise InvalidTree(code, f"“{code}” lies more than {DEEPEST} levels deep.")
        first, high = len(self.leaf_names), low
        block_end = low + self._spare.get(code, 0)
        children = self._children.get(code, [])
        for child in children:
            high = self._number(child, high, depth=depth + 1)
        if not children or not self.nodes[code].exhaustive:
            self.leaf_names.append(code + REST if children else code)
            high += 1
        elif high < block_end:
            self._widen(children[-1], block_end)
        high = max(high, block_end)
        self._runs[code] = (first, len(self.leaf_names))
        self._intervals[code] = (low, high)
        return high

    def _widen(self, code: str, high: int) -> None:
        # An exhaustive node has no rest to take its spare numbers: its last child takes them.
        self._intervals[code] = (self._intervals[code][0], high)
        if self._children.get(code) and self.nodes[code].exhaustive:
            self._widen(self._children[code][-1], high)

    def _marked(self, codes: Iterable[str]) -> int:
        mask = 0
        for code in codes:
            mask |= self.node_mask(code)
        return mask

    def __contains__(self, code: object) -> bool:
        return code in self.nodes

    def given_name(self, code: str, language: str) -> str:
        """The name the studio gave the code, in English where it has none in the language; empty without a name of its own."""
        node = self.nodes.get(code)
        names = dict(node.names) if node else {}
        return names.get(language[:2]) or names.get("en", "")

    def children(self, code: str) -> tuple[str, ...]:
        """The codes right below `code`, in the tree's order."""
        return tuple(self._children.get(code, ()))

    def node_mask(self, code: str) -> int:
        """The leaves at or below `code`, one bit each. Raises UnknownCode."""
        try:
            first, end = self._runs[code]
        except (KeyError, TypeError):
            raise UnknownCode(str(code)) from None
        return (1 << end) - (1 << first)

    def mask(self, codes: frozenset[str]) -> int:
        """The leaves of all `codes` together, one bit each. Raises UnknownCode."""
        known = self._masks.get(codes)
        if known is None:
            known = 0
            for code in sorted(codes):
                known |= self.node_mask(code)
            self._masks[codes] = known
        return known

    def leaves(self, code: str) -> frozenset[str]:
        """The names of all leaves at or below `code`; the rest of X is named `X/rest`."""
        self.node_mask(code)
        first, end = self._runs[code]
        return frozenset(self.leaf_names[first:end])

    def interval(self, code: str) -> tuple[int, int]:
        """The node's numbers `[lo, hi)`, never empty. Raises UnknownCode."""
        self.node_mask(code)
        return self._intervals[code]

    def intervals(self, codes: frozenset[str]) -> tuple[tuple[int, int], ...]:
        """The numbers of all codes, sorted, overlapping and adjacent runs merged."""
        merged: list[tuple[int, int]] = []
        for low, high in sorted(self.interval(code) for code in codes):
            if merged and low <= merged[-1][1]:
                merged[-1] = (merged[-1][0], max(high, merged[-1][1]))
            else:
                merged.append((low, high))
        return tuple(merged)

    def names(self, mask: int) -> tuple[str, ...]:
        """The fewest codes (and rests, as `X/rest`) that stand for exactly these leaves, in the tree's order."""
        found: list[str] = []
        for root in self._children.get(None, []):
            self._collect(root, mask, found)
        return tuple(found)

    def _collect(self, code: str, mask: int, found: list[str]) -> None:
        whole = self.node_mask(code)
        if not whole & mask:
            return
        if whole & mask == whole:
            found.append(code)
            return
        for child in self._children.get(code, []):
            self._collect(child, mask, found)
        _first, end = self._runs[code]
        if self.leaf_names[end - 1] == code + REST and mask >> (end - 1) & 1:
            found.append(code + REST)

    def is_own_promotion(self, codes: frozenset[str]) -> bool:
        """True when every leaf of the codes carries the mark of own promotion."""
        return not self.mask(codes) & ~self.own_promotion_mask

    def is_counted(self, codes: frozenset[str]) -> bool:
        """True when copies matter for some leaf of the codes."""
        return bool(self.mask(codes) & self.counted_mask)

    def check_change(self, new: Tree, *, named: frozenset[str]) -> None:
        """Raise TreeChangeRefused if `new` moves or deletes a node that a licence names, or takes a leaf away from one.

        Splitting a leaf and adding a node are allowed: the licence keeps, or gains, what stands below its code.
        """
        for code in sorted(named):
            if code not in new:
                raise TreeChangeRefused(code, f"“{code}” can't be deleted: a licence names it.")
            if new.nodes[code].parent != self.nodes[code].parent:
                raise TreeChangeRefused(code, f"“{code}” can't be moved: a licence names it.")
            kept = new.node_mask(code)
            for leaf in sorted(self.leaves(code)):
                if not _still_below(new, leaf, kept):
                    raise TreeChangeRefused(code, f"“{leaf}” can't leave “{code}”: a licence names “{code}”.")


def _still_below(new: Tree, leaf: str, kept: int) -> bool:
    if leaf in new:
        return not new.node_mask(leaf) & ~kept
    return leaf in new.leaf_names and bool(kept >> new.leaf_names.index(leaf) & 1)


@dataclass(frozen=True, slots=True)
class Trees:
    """The two trees that a question is answered with."""

    media: Tree
    territories: Tree
