"""How long food holds on the plate, and what is still to do when the last picture is taken."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Limit:
    """How long something looks right after plating. ``minutes`` is the shorter end where kitchens name a span."""

    key: str
    words: str
    minutes: int


# Minutes after plating: common practice, no source. The studio sets its own figures over them.
LIMITS = (
    Limit("steam", "Steam", 1),
    Limit("bubbles", "Bubbles in a drink", 1),
    Limit("cheese", "Melted cheese, pulled", 1),
    Limit("ice_cream", "Ice cream", 2),
    Limit("souffle", "Soufflé", 2),
    Limit("foam", "Milk or egg foam", 3),
    Limit("sauce", "Sauce, before a skin", 5),
    Limit("leaves", "Dressed leaves", 5),
    Limit("crust", "Fried crust", 5),
    Limit("carved", "Carved meat, before the juice runs", 5),
    Limit("hollandaise", "Hollandaise", 10),
    Limit("ice", "Ice cubes", 10),
    Limit("cut_fruit", "Cut apple or avocado", 10),
    Limit("herbs", "Cut herbs", 15),
    Limit("crumb", "Cake crumb", 20),
    Limit("bread", "Bread or whole fruit", 60),
)


@dataclass(frozen=True, slots=True)
class Item:
    """A line of the end of the day."""

    key: str
    words: str
    help: str


# Words for a note at one press.
QUICK_NOTES = ("Dropped", "Plate chipped", "Wrong light", "Broken glass: food thrown away")

# Common practice, no source.
END_OF_DAY = (
    Item("cards", "Cards copied twice, and the copies opened", "Nobody wipes a card before this is ticked."),
    Item("oks", "The client’s OKs are complete", "Every picture the client decides on has a name and a time."),
    Item("releases", "Releases are complete", "Everybody who can be recognised, and the place."),
    Item("receipts", "Receipts are photographed", "Till rolls fade."),
    Item(
        "props",
        "Props are counted back",
        "Against the list they came on. Broken pieces are named to whoever lent them.",
    ),
    Item("kitchen", "The kitchen is clean", "The cook says when it is."),
    Item(
        "food",
        "The food plan is done",
        "Eaten, given or thrown away. What was handled on set is eaten only if the cook says so.",
    ),
)


def limits_with(own: dict[str, int]) -> tuple[Limit, ...]:
    """The limits with the studio's own minutes over ours."""
    return tuple(Limit(each.key, each.words, own.get(each.key, each.minutes)) for each in LIMITS)
