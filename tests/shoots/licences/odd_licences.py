"""Small made-up licences, uses and wishes: `pick` chooses from a list, for Hypothesis and for seeded sweeps alike."""

from datetime import timedelta

from hypothesis import strategies as st

from shoots.licences.availability import Wish
from shoots.licences.grants import Grant
from shoots.licences.states import State
from shoots.uses.intended import Begins, Exclusivity, Use
from shoots.uses.trees import Node, Tree, Trees
from tests.shoots.licences.brute_force import FIRST

MEDIA_NODES = [
    Node("all", exhaustive=True),
    Node("web", "all"),
    Node("web.own", "web", own_promotion=True),
    Node("print", "all", counted=True),
]
TERRITORY_NODES = [
    Node("world"),
    Node("europe", "world"),
    Node("DE", "europe"),
    Node("AT", "europe"),
    Node("JP", "world"),
]
WORLD = (tuple(MEDIA_NODES), tuple(TERRITORY_NODES))
TREES = Trees(Tree(MEDIA_NODES, version="t"), Tree(TERRITORY_NODES, version="t"))

CLASSES = ["editorial", "advertising", "stock"]
# Wide codes stand more than once, so that licences meet often enough for a test to see something.
MEDIA = ["all", "all", "all", "web", "web", "web.own", "print"]
TERRITORIES = ["world", "world", "world", "europe", "europe", "DE", "AT", "JP"]
DAYS = [FIRST + timedelta(days) for days in (0, 0, 1, 4, 10, 30, 31, 59)]
TRADES = [None, "bakery", "coffee"]


def some(pick, choices, most=2):
    return frozenset(pick(choices) for _ in range(pick(range(1, most + 1))))


def ends_after(pick, first):
    return pick([None, None, *(first + timedelta(days) for days in (1, 5, 20, 40, 40))])


def odd_grant(pick, place=0, licensees=("Walnut Lantern", "Kvernmoor Mill"), pictures=("p1",), **fixed):
    first = pick(DAYS)
    chosen = {
        "id": f"g{place}",
        "licensee": pick(licensees),
        "trade": pick(TRADES),
        "pictures": frozenset({pick(pictures)}),
        "classes": some(pick, CLASSES, most=3),
        "media": some(pick, MEDIA),
        "territories": some(pick, TERRITORIES),
        "use_from": first,
        "use_until": ends_after(pick, first),
        "state": pick([*[State.PAID] * 6, *[State.ACCEPTED] * 4, *State]),
        "exclusivity": pick(list(Exclusivity)),
        "exclusive_until": pick([*[None] * 9, *DAYS]),
        "embargo_until": pick([*[None] * 18, *DAYS]),
        "cut_on": pick([*[None] * 18, *DAYS]),
        "begins": pick(list(Begins)),
        "begins_on": pick(DAYS),
        "delivered_on": pick([None, *DAYS]),
        "lapses_on": pick([*[None] * 5, *DAYS]),
        "copies": pick([None, None, 0, 100, 1000]),
        "copies_used": pick([0, 0, 50, 2000]),
        "left": pick([State.PAID, State.ACCEPTED]),
    }
    return Grant(**{**chosen, **fixed}, trees=TREES)


def odd_use(pick, **fixed):
    first = pick(DAYS)
    chosen = {
        "classes": some(pick, CLASSES, most=3),
        "media": some(pick, MEDIA),
        "territories": some(pick, TERRITORIES),
        "use_from": first,
        "use_until": ends_after(pick, first),
        "copies": pick([None, None, 10, 60]),
    }
    return Use(**{**chosen, **fixed}, trees=TREES)


def odd_wish(pick, **fixed):
    chosen = {
        "licensee": pick(("Walnut Lantern", "Oystercatcher Pantry")),
        "trade": pick(TRADES),
        "classes": some(pick, CLASSES, most=3),
        "media": some(pick, MEDIA),
        "territories": some(pick, TERRITORIES),
        "use_from": pick(DAYS),
        "months": pick([None, 1, 2]),
        "exclusivity": pick(list(Exclusivity)),
        "exclusive_months": pick([None, 1]),
    }
    return Wish(**{**chosen, **fixed}, trees=TREES)


def drawn(make):
    """A Hypothesis strategy out of one of the makers above."""

    @st.composite
    def strategy(draw, *args, **fixed):
        return make(lambda choices: draw(st.sampled_from(list(choices))), *args, **fixed)

    return strategy
