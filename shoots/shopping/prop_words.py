"""Props read from the words of a shot: each thing by itself, with a guess at what kind it is."""

from __future__ import annotations

import re

from shoots.plan.steps import NUMBER_WORDS
from shoots.shopping.units import name_key

# Words that tell the kind of a prop, the last word of its name that is among them. Common practice, no source.
KIND_WORDS = {
    "surface": "board slab slate table tabletop backdrop background surface marble plank stone tile worktop",
    "cloth": "cloth napkin towel linen tablecloth runner apron muslin cotton",
    "cutlery": "fork knife spoon ladle cutlery tong server whisk spatula skewer chopstick",
    "crockery": "plate bowl cup glass jug pot dish pan tray carafe saucer tureen ramekin mug jar bottle casserole platter",
}
_KIND_OF = {word: kind for kind, words in KIND_WORDS.items() for word in words.split()}
LONGEST, MOST = 120, 99


def things_in(text: str) -> list[tuple[int, str, str]]:
    """How many, what, and of what kind: *two clay bowls, dark board* is (2, clay bowls, crockery) and (1, dark board, surface)."""
    found = []
    for part in re.split(r"[,;\n]| and (?=(?:an? |two |three |four |the |\d))", text):
        words = part.strip(" .")
        if not words:
            continue
        count, rest = _count(words)
        found.append((count, rest[:LONGEST], kind_of(rest)))
    return found


def kind_of(what: str) -> str:
    """The kind a name seems to be; ``prop`` where no word tells."""
    words = re.findall(r"[^\W\d_]+", re.split(r"\b(?:for|of|with|from|under|on|in)\b", what.casefold())[0])
    return next((_KIND_OF[key] for word in reversed(words) if (key := name_key(word)) in _KIND_OF), "prop")


def _count(words: str) -> tuple[int, str]:
    head, _, rest = words.partition(" ")
    number = int(head) if re.fullmatch(r"\d{1,2}", head) else NUMBER_WORDS.get(head.casefold(), 0)
    if not rest or not 1 <= number <= MOST:
        return 1, words
    return number, rest
