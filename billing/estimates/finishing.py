"""How many pictures of an option ask for which kind of finishing: simple retouching, a cut-out, a composite of several frames.

How long a picture of a kind takes is on the rate card. Kinds and minutes: common practice, no source.
"""

from collections.abc import Sequence

SIMPLE = "simple"
MINUTES = {SIMPLE: "finishing_minutes", "cut_out": "cut_out_minutes", "composite": "composite_minutes"}
"""The kinds in the order they are read, and what of a rate card says how many minutes a picture takes."""


def counts_by_kind(named: Sequence[str], pictures: int) -> dict[str, int]:
    """Of so many pictures the first are those named, each by its kind; what is not named is simple. Kinds that are not asked for are left out.

    No picture at all is 0 simple ones, so that there is a line to fill.
    """
    taken = named[:pictures]
    counts = {kind: taken.count(kind) for kind in MINUTES}
    counts[SIMPLE] += pictures - len(taken)
    return {kind: count for kind, count in counts.items() if count} or {SIMPLE: 0}
