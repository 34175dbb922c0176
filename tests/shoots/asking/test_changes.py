from collections import Counter
from datetime import date

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from shoots.asking.answers import Answer, Asked, Stand, ask, is_yes
from shoots.asking.changes import Change, Place, applied, best_for_all, lost, smallest_changes, works
from shoots.licences.availability import FREE, Selling, SellingOn
from shoots.licences.conflicts import Claim
from shoots.releases.clearance import Recognisable, ReleaseTerms, Subject
from shoots.uses.days import Length
from shoots.uses.intended import Exclusivity, class_bits
from shoots.uses.trees import Node, Tree, Trees
from tests.shoots.asking import slow_changes as slow

NODES = [Node(code, None) for code in slow.LEAVES]
TREES = Trees(Tree(NODES, version="1"), Tree(NODES, version="1"))
CLASSES = ("advertising", "editorial")


def some(of):
    return st.sets(st.sampled_from(of), min_size=1).map(frozenset)


USES = st.fixed_dictionaries(
    {
        "classes": some(CLASSES),
        "media": some(slow.LEAVES),
        "places": some(slow.LEAVES),
        "first": st.just(3),
        "length": st.none() | st.integers(1, 9),
        "cut": st.none(),
        "sole": st.booleans(),
    }
)
RIVALS = st.builds(
    lambda first, length, **rest: {"first": first, "until": None if length is None else first + length, **rest},
    first=st.integers(0, 9),
    length=st.none() | st.integers(1, 4),
    classes=some(CLASSES),
    media=some(slow.LEAVES),
    places=some(slow.LEAVES),
    sole=st.booleans(),
)
RELEASES = st.fixed_dictionaries(
    {"media": some(slow.LEAVES), "classes": some(CLASSES), "until": st.none() | st.integers(4, 9)}
)
PEOPLE = st.lists(
    st.fixed_dictionaries(
        {
            "name": st.sampled_from(["cook", "waiter"]),
            "kind": st.sampled_from(["yes", "yes", "no", "ask"]),
            "release": st.none() | RELEASES,
        }
    ),
    max_size=2,
    unique_by=lambda each: each["name"],
)
WORLDS = st.fixed_dictionaries(
    {
        "rivals": st.lists(RIVALS, max_size=3),
        "agreed": st.sampled_from([0, 0, 0, 5, None]),
        "people": st.one_of(st.just([]), PEOPLE, st.none()),
    }
)


def asked_of(use):
    return Asked(
        licensee="me",
        trade=None,
        classes=use["classes"],
        media=use["media"],
        territories=use["places"],
        first=slow.day(use["first"]),
        length=Length(days=use["length"]),
        exclusivity=Exclusivity.PICTURE if use["sole"] else Exclusivity.NONE,
        trees=TREES,
    )


def stand_of(world):
    claims = tuple(
        Claim(
            str(number),
            f"rival {number}",
            None,
            class_bits(rival["classes"]),
            TREES.media.mask(rival["media"]),
            TREES.territories.mask(rival["places"]),
            slow.day(rival["first"]),
            slow.day(rival["until"]),
            Exclusivity.PICTURE if rival["sole"] else Exclusivity.NONE,
            slow.day(rival["until"]),
        )
        for number, rival in enumerate(world["rivals"])
    )
    selling_on = FREE
    if world["agreed"] is None:
        selling_on = SellingOn(Selling.NOT_AGREED, commissioned_by="lantern")
    elif world["agreed"]:
        selling_on = SellingOn(Selling.AFTER, slow.day(world["agreed"] - 1), commissioned_by="lantern")
    people = None if world["people"] is None else tuple(_subject(each) for each in world["people"])
    return Stand(claims, selling_on, "shoot", people, ())


def _subject(person):
    terms = person["release"]
    releases = ()
    if terms:
        releases = (
            ReleaseTerms(
                is_signed=True, media=terms["media"], classes=terms["classes"], use_until=slow.day(terms["until"])
            ),
        )
    return Subject(id=person["name"], releases=releases, recognisable=Recognisable(person["kind"]))


SEEN = Counter()


@settings(max_examples=1000, deadline=None, suppress_health_check=[HealthCheck.too_slow], derandomize=True)
@given(USES, WORLDS)
def _compare(use, world):
    asked, stand = asked_of(use), stand_of(world)
    assert is_yes(asked, stand, TREES) == slow.says_yes(use, world)
    found = smallest_changes(asked, stand, TREES)
    offered = [frozenset((str(each.place), each.who) for each in changes) for changes in found.sets]
    assert len(offered) == len(set(offered))
    assert set(offered) == slow.smallest(use, world)
    for changes in found.sets:
        assert works(asked, stand, changes, TREES)
        for change in changes:
            if len(changes) > 1:
                assert not works(asked, stand, [change], TREES)
    ranks = [(len(each), lost(asked, stand, each, TREES)) for each in found.sets]
    assert ranks == sorted(ranks)
    answer = ask(asked, stand, TREES).answer
    assert (answer is Answer.YES) == slow.says_yes(use, world)
    assert found.needs_more == (answer is not Answer.YES and not found.sets)
    SEEN.update([answer.value, "needs more" if found.needs_more else "enough"])
    SEEN.update(str(change.place) for changes in found.sets for change in changes)
    SEEN.update(f"{len(changes)} at once" for changes in found.sets)


def test_the_changes_offered_are_exactly_the_smallest_and_each_kind_occurs():
    SEEN.clear()
    _compare()
    for what in (*map(str, Place), *map(str, Answer), "needs more", "1 at once", "2 at once"):
        assert SEEN[what] >= 5, (what, SEEN)


# Of the shipped trees


def _wish(**also):
    chosen = {
        "licensee": "mill", "trade": "bakery", "classes": frozenset({"advertising"}), "media": frozenset({"web.paid_social", "web.display"}),
        "territories": frozenset({"DE", "AT"}), "first": date(2027, 1, 1), "length": Length(months=12),
    }  # fmt: skip
    return Asked(**{**chosen, **also})


def _rival(**also):
    other = _wish(licensee="pantry", exclusivity=Exclusivity.PICTURE, **also)
    return other.starting(other.first)


def test_the_world_is_narrowed_to_what_is_left_of_it():
    asked = _wish(territories=frozenset({"world"}))
    stand = Stand((_rival(territories=frozenset({"DE"})),), FREE)
    found = next(each for each in smallest_changes(asked, stand).sets if each[0].place is Place.TERRITORIES)
    after, _stand = applied(asked, stand, found)
    assert "DE" not in after.territories
    assert {"AT", "FR"} <= set(after.territories) or any(len(code) > 2 for code in after.territories)
    assert is_yes(after, stand)


def test_a_rival_without_end_leaves_no_later_day_and_ends_no_calendar():
    asked = _wish(first=date(9998, 6, 1))
    stand = Stand((_rival(length=Length()),), FREE)
    places = {change.place for changes in smallest_changes(asked, stand).sets for change in changes}
    assert Place.FIRST not in places
    assert ask(asked, stand).answer is Answer.NO


def test_a_wish_without_end_may_end_before_a_later_exclusive_licence():
    asked = _wish(length=Length())
    stand = Stand((_rival(first=date(2028, 3, 1)),), FREE)
    found = smallest_changes(asked, stand)
    assert (Change(Place.END, day=date(2028, 3, 1)),) in found.sets
    assert (Change(Place.FIRST, day=date(2029, 3, 1)),) in found.sets


def test_a_yes_needs_no_change():
    found = smallest_changes(_wish(), Stand((), FREE))
    assert not found.sets
    assert not found.needs_more


def test_of_many_pictures_the_change_that_helps_most_comes_first():
    asked = _wish()
    held = Stand((_rival(),), FREE)
    hidden = Stand((), FREE, people=(Subject(id="cook"),))
    both = Stand((_rival(),), FREE, people=(Subject(id="cook"),))
    stands = {Stand((), FREE): 2, held: 5, hidden: 3, both: 1}
    sets = [changes for stand in stands for changes in smallest_changes(asked, stand).sets]
    gains = best_for_all(asked, stands, sets)
    assert gains[0].yes == 11
    assert len(gains[0].changes) == 2
    assert [gain.yes for gain in gains] == sorted((gain.yes for gain in gains), reverse=True)
    assert all(gain.yes > 2 for gain in gains)


@pytest.mark.parametrize("count", [6, 7])
def test_more_rivals_than_all_joins_are_tried_for_still_give_a_change_that_works(count):
    places = ["DE", "AT", "CH", "FR", "IT", "ES", "PT"][:count]
    asked = _wish(territories=frozenset({"GB", *places}))
    stand = Stand(tuple(_rival(territories=frozenset({place})) for place in places), FREE)
    found = smallest_changes(asked, stand)
    assert (Change(Place.TERRITORIES, codes=("GB",)),) in found.sets
    assert all(works(asked, stand, each) for each in found.sets)
