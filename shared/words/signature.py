"""A signature drawn with a finger: one SVG path in a box of 600 by 300, of moves and lines with whole numbers."""

import re

BOX = (600, 300)
LONGEST = 400_000
# Each stroke is a move and at least one line; nothing else of SVG's path language is let in.
STROKE = r"M\d{1,3} \d{1,3}(?:L\d{1,3} \d{1,3})+"
PATH = re.compile(rf"(?:{STROKE})+")


class SignatureUnreadable(ValueError):
    """What came in as a signature is no drawing that the signature field makes."""


def read_signature(path: str) -> str:
    """Return ``path`` if it is a signature of our field; raise ``SignatureUnreadable`` with what to do otherwise."""
    if len(path) > LONGEST or not PATH.fullmatch(path):
        raise SignatureUnreadable("The signature did not arrive whole. Clear it and sign again, or type the name.")
    points = [tuple(map(int, point.split())) for point in re.split("[ML]", path)[1:]]
    if any(x > BOX[0] or y > BOX[1] for x, y in points):
        raise SignatureUnreadable("The signature did not arrive whole. Clear it and sign again, or type the name.")
    if max(x for x, _ in points) - min(x for x, _ in points) < 20:
        raise SignatureUnreadable("There is only a dot where a signature should be. Sign again, or type the name.")
    return path
