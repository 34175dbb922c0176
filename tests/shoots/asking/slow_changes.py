"""The slow reading of "Can I sell this?": every way to change every one or two places is tried, day by day and leaf by leaf.

Written apart from the engine: it reads the fields of the question and of what stands against it, and calls nothing of the product.
The trees are flat lists of three leaves, so a code is its own leaf.
"""

from datetime import date, timedelta
from itertools import combinations

FIRST = date(2027, 1, 1)
DAYS = 14
LEAVES = ("a", "b", "c")


def day(number):
    return None if number is None else FIRST + timedelta(number)


def days_of(first, until):
    return {each for each in range(DAYS * 3) if each >= first and (until is None or each < until)}


def parts(some):
    some = sorted(some)
    return [frozenset(each) for size in range(1, len(some) + 1) for each in combinations(some, size)]


def says_yes(use, world):
    """``use``: classes, media, places, first, end (numbers), sole. ``world``: rivals, agreed (first number or None), people."""
    end = use["first"] + use["length"] if use["length"] is not None else None
    if use["cut"] is not None:
        end = use["cut"] if end is None else min(end, use["cut"])
    if end is not None and end <= use["first"]:
        return False
    if world["agreed"] is None or world["agreed"] > use["first"]:
        return False
    mine = days_of(use["first"], end)
    for rival in world["rivals"]:
        theirs, alone = days_of(rival["first"], rival["until"]), days_of(rival["first"], rival["until"])
        shared = all(use[axis] & rival[axis] for axis in ("classes", "media", "places"))
        if shared and ((use["sole"] and mine & theirs) or (rival["sole"] and alone & mine)):
            return False
    if world["people"] is None:
        return False
    for person in world["people"]:
        if person["kind"] == "no":
            continue
        if person["kind"] == "ask":
            return False
        release = person["release"]
        if release is None:
            if use["classes"] != {"editorial"}:
                return False
            continue
        fits = use["media"] <= release["media"] and use["classes"] <= release["classes"]
        fits = fits and (release["until"] is None or (end is not None and end <= release["until"]))
        if not fits and use["classes"] != {"editorial"}:
            return False
    return True


def ways(use, world):
    """Every way to change each place, by place and whose: (place, who) → list of functions on (use, world)."""

    def put(**new):
        return lambda old, around: ({**old, **new}, around)

    def person_signs(name):
        return lambda old, around: (
            old,
            {**around, "people": around["people"] and [each for each in around["people"] if each["name"] != name]},
        )

    def somebody_looks(old, around):
        return old, {**around, "people": [each for each in around["people"] or [] if each["kind"] != "ask"]}

    found = {
        ("first", ""): [put(first=each) for each in range(use["first"] + 1, DAYS * 2)],
        ("end", ""): [put(cut=each) for each in range(use["first"] + 1, DAYS * 2)],
        ("media", ""): [put(media=each) for each in parts(use["media"]) if each != use["media"]],
        ("territories", ""): [put(places=each) for each in parts(use["places"]) if each != use["places"]],
        ("classes", ""): [put(classes=each) for each in parts(use["classes"]) if each != use["classes"]],
        ("exclusivity", ""): [put(sole=False)] if use["sole"] else [],
        ("commission", "shoot"): [lambda old, around: (old, {**around, "agreed": 0})],
        ("look", ""): [somebody_looks],
    }
    for person in world["people"] or []:
        if person["kind"] == "yes":
            found["release", person["name"]] = [person_signs(person["name"])]
    return found


def smallest(use, world):
    """Every smallest set of up to two places that can be changed so that it is a yes."""
    if says_yes(use, world):
        return set()
    choices, found = ways(use, world), []
    for size in (1, 2):
        for spots in combinations(sorted(choices), size):
            if any(known <= set(spots) for known in found):
                continue
            if size == 1:
                works = any(says_yes(*one(use, world)) for one in choices[spots[0]])
            else:
                works = any(says_yes(*two(*one(use, world))) for one in choices[spots[0]] for two in choices[spots[1]])
            if works:
                found.append(frozenset(spots))
    return set(found)
