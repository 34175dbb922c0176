"""A fee by trying everything, written apart from the product: it shares no code with it but the card's and the items' figures.

Every way to put items into lines, and for each area every set of codes that covers it. Leaves are sets of names, terms are counted day by month.
"""

from fractions import Fraction
from itertools import combinations, product
from math import ceil


def leaves(tree, code):
    """The leaves at or below a code, a nameless rest among them where its children do not make up the whole."""
    below = [node.code for node in tree.values() if node.parent == code]
    found = set().union(*(leaves(tree, child) for child in below))
    return found | ({(code, "rest")} if below and not tree[code].exhaustive else set() if below else {(code,)})


def cover(tree, wanted):
    """The least sum of factors of any set of codes that covers the wanted ones."""
    asked = set().union(*(leaves(tree, code) for code in wanted))
    rests = [leaf[0] for leaf in asked if len(leaf) == 2]
    useful = {}
    for code in tree:
        above, parent = [], tree[code].parent
        while parent is not None:
            above, parent = [*above, parent], tree[parent].parent
        # What lies below a wanted rest comes along with whatever covers that rest.
        if not set(above) & set(rests) and (part := frozenset(leaves(tree, code) & asked)):
            useful[code] = part
    return min(
        sum((tree[code].factor for code in chosen), Fraction(0))
        for size in range(1, len(useful) + 1)
        for chosen in combinations(useful, size)
        if set().union(*(useful[code] for code in chosen)) >= asked
    )


def term(card, months):
    """The factor of a term by the line through the two points around it, or through the last two."""
    if months is None:
        return card.term_perpetual
    points = list(card.term)
    after = next((place for place, (at, _) in enumerate(points) if place and at >= months), len(points) - 1)
    (x0, y0), (x1, y1) = points[after - 1], points[after]
    return min(card.term_perpetual, y0 + (y1 - y0) * (Fraction(months) - x0) / (x1 - x0))


def volume(card, pictures):
    """Picture by picture."""
    return sum(
        next(factor for limit, factor in card.picture_bands if limit is None or number <= limit)
        for number in range(1, pictures + 1)
    )


def line(card, held):
    """One line without base and pictures. Items that begin on the first of a month: months are then a plain subtraction."""
    areas = Fraction(1)
    for name in ("classes", "media", "territories"):
        areas *= cover(getattr(card, name).nodes, set().union(*(getattr(item, name) for item in held)))
    starts = [item.use_from.year * 12 + item.use_from.month for item in held]
    ends = [None if item.months is None else start + item.months for item, start in zip(held, starts, strict=True)]
    whole = term(card, None if None in ends else max(ends) - min(starts))
    kind = max(card.exclusivity[item.exclusive] for item in held)
    alone = Fraction(0)
    for item in held:
        if item.exclusive != "none":
            own = term(card, item.months)
            alone = max(alone, own if item.exclusive_months is None else min(own, term(card, item.exclusive_months)))
    return areas * (whole + (kind - 1) * min(alone, whole)) * max(copies(card, item) for item in held)


def copies(card, item):
    tree = card.media.nodes
    counted = set().union(*(leaves(tree, code) for code in tree if tree[code].counted), set())
    asked = set().union(*(leaves(tree, code) for code in item.media))
    if not asked & counted:
        return Fraction(1)
    number = float("inf") if item.copies == "unlimited" else item.copies
    factor = next(factor for limit, factor in card.copy_bands if limit is None or number <= limit)
    return factor if asked <= counted else max(factor, Fraction(1))


def brute_fee(card, pictures, items):
    """(total, fee) of a request: the least of all labellings of the items."""
    known = {}
    best = None
    for labels in product(range(len(items)), repeat=len(items)):
        total = Fraction(0)
        for label in set(labels):
            group = tuple(place for place, each in enumerate(labels) if each == label)
            if group not in known:
                known[group] = line(card, [items[place] for place in group])
            total += known[group]
        best = total if best is None else min(best, total)
    total = best * card.base * volume(card, pictures)
    return total, max(card.minimum, ceil(total / card.step) * card.step)
