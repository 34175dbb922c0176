from collections import Counter
from dataclasses import replace
from datetime import date, timedelta
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shoots.licences.cover import Reason, cover, held_whole, reasons_against
from shoots.licences.states import State
from shoots.uses.intended import Begins, Exclusivity, Use
from tests.shoots.licences import brute_force
from tests.shoots.licences.odd_licences import TREES, WORLD, drawn, odd_grant, odd_use
from tests.shoots.licences.test_grants import PAID

USE = Use(
    classes=frozenset({"advertising"}),
    media=frozenset({"web.own"}),
    territories=frozenset({"DE"}),
    use_from=date(2027, 3, 1),
    use_until=date(2027, 4, 1),
)


def asked(*grants, use=USE, licensee="Walnut Lantern", picture="p1"):
    return cover(use, picture=picture, licensee=licensee, grants=grants)


def test_a_use_inside_a_paid_licence_is_covered():
    answer = asked(PAID)
    assert (answer.is_covered, answer.first_gap, answer.reasons) == (True, None, {"L-1": ()})
    assert not answer.has_no_grant


@pytest.mark.parametrize("different", [{"licensee": "Kvernmoor Mill"}, {"picture": "p2"}])
def test_a_licensee_with_no_licence_on_the_picture_has_no_grant(different):
    answer = asked(PAID, **different)
    assert answer.has_no_grant
    assert (answer.is_covered, answer.first_gap, answer.reasons) == (False, date(2027, 3, 1), {})


@pytest.mark.parametrize(
    ("grant", "use", "reason"),
    [
        ({"state": State.OFFERED}, {}, Reason.UNPAID),
        ({"state": State.ACCEPTED}, {}, Reason.UNPAID),
        ({"state": State.REFUNDED}, {}, Reason.UNPAID),
        ({"classes": frozenset({"editorial"})}, {}, Reason.CLASS),
        ({"media": frozenset({"web.social"})}, {}, Reason.MEDIUM),
        ({"territories": frozenset({"AT"})}, {}, Reason.TERRITORY),
        ({"use_from": date(2027, 3, 2)}, {}, Reason.TOO_EARLY),
        ({"use_until": date(2027, 3, 31)}, {}, Reason.ENDED),
        ({"cut_on": date(2027, 3, 31)}, {}, Reason.ENDED),
        ({"embargo_until": date(2027, 3, 2)}, {}, Reason.EMBARGO),
        ({"copies": 1000, "copies_used": 101}, {"copies": 900}, Reason.QUANTITY),
    ],
)
def test_each_reason_that_stops_a_licence(grant, use, reason):
    answer = asked(replace(PAID, **grant), use=replace(USE, **use))
    assert answer.reasons == {"L-1": (reason,)}
    assert not answer.is_covered
    assert answer.first_gap == (date(2027, 3, 31) if reason is Reason.ENDED else date(2027, 3, 1))


def test_a_licence_that_is_wrong_in_every_way_says_so_in_the_fixed_order():
    wrong = replace(
        PAID,
        state=State.DRAFT,
        classes=frozenset({"stock"}),
        media=frozenset({"print.menu"}),
        territories=frozenset({"JP"}),
        use_from=date(2027, 3, 10),
        use_until=date(2027, 3, 20),
        embargo_until=date(2027, 3, 12),
        copies=5,
    )
    assert reasons_against(wrong, replace(USE, copies=6)) == tuple(Reason)


def test_use_that_begins_on_delivery_is_covered_with_the_note_unpaid():
    delivered = replace(PAID, state=State.ACCEPTED, begins=Begins.ON_DELIVERY, delivered_on=date(2026, 12, 4))
    answer = asked(delivered)
    assert answer.is_covered
    assert answer.reasons == {"L-1": (Reason.UNPAID,)}
    assert answer.unpaid_notes == {"L-1"}
    lapsed = asked(replace(delivered, lapses_on=date(2027, 3, 16)))
    assert (lapsed.first_gap, lapsed.reasons) == (date(2027, 3, 16), {"L-1": (Reason.UNPAID, Reason.ENDED)})
    early = asked(replace(delivered, delivered_on=date(2027, 3, 2)))
    assert early.reasons == {"L-1": (Reason.UNPAID, Reason.TOO_EARLY)}


def test_due_15_december_unpaid_after_14_days_ends_with_29_december():
    unpaid = replace(
        PAID,
        state=State.ACCEPTED,
        begins=Begins.ON_DELIVERY,
        delivered_on=date(2026, 12, 1),
        lapses_on=date(2026, 12, 30),
    )
    for day, covered in ((date(2026, 12, 29), True), (date(2026, 12, 30), False)):
        one_day = replace(USE, use_from=day, use_until=day + timedelta(days=1))
        assert asked(unpaid, use=one_day).is_covered is covered


def test_two_licences_cover_together_what_neither_covers_alone():
    first = replace(PAID, use_until=date(2027, 3, 15))
    second = replace(PAID, id="L-2", use_from=date(2027, 3, 15))
    answer = asked(first, second)
    assert answer.is_covered
    assert answer.reasons == {"L-1": (Reason.ENDED,), "L-2": (Reason.TOO_EARLY,)}
    late = replace(second, use_from=date(2027, 3, 16))
    assert asked(first, late).first_gap == date(2027, 3, 15)


def test_copies_are_never_added_across_licences():
    first, second = replace(PAID, copies=600), replace(PAID, id="L-2", copies=600)
    assert not asked(first, second, use=replace(USE, copies=601)).is_covered
    assert asked(first, second, use=replace(USE, copies=600)).is_covered
    assert asked(first, use=replace(USE, copies=None)).is_covered


def test_all_named_countries_do_not_make_the_continent():
    everywhere = replace(PAID, territories=frozenset({"europe"}))
    assert asked(everywhere, use=replace(USE, territories=frozenset({"DE", "AT"}))).is_covered
    assert not asked(PAID, use=replace(USE, territories=frozenset({"europe"}))).is_covered


def test_own_website_for_the_german_market_is_covered_wherever_it_is_read_and_print_in_switzerland_is_not():
    menu = replace(PAID, media=frozenset({"web.own", "print.menu"}))
    assert asked(menu).is_covered
    swiss = replace(USE, media=frozenset({"print.menu"}), territories=frozenset({"CH"}))
    assert asked(menu, use=swiss).reasons == {"L-1": (Reason.TERRITORY,)}


def test_a_perpetual_use_is_covered_by_a_perpetual_licence_alone():
    perpetual = replace(USE, use_until=None)
    assert asked(PAID, use=perpetual).first_gap == date(2028, 12, 1)
    assert asked(replace(PAID, use_until=None), use=perpetual).is_covered


def test_an_unplaced_licence_covers_nothing_and_is_passed_over():
    assert asked(replace(PAID, is_placed=False)).has_no_grant


grants, uses = drawn(odd_grant), drawn(odd_use)


@given(st.tuples(*(grants(place, ("Walnut Lantern",)) for place in range(3))), uses())
@settings(max_examples=60, deadline=None)
def test_cover_is_what_listing_cells_finds(made, use):
    answer = cover(use, picture="p1", licensee="Walnut Lantern", grants=made, trees=TREES)
    missing = brute_force.missing_cells(WORLD, use, made)
    assert answer.is_covered == (not missing)
    if missing:
        day = min(cell[3] for cell in missing)
        # The sentinel day after the horizon stands for the first day of an endless gap, which always has a day of its own.
        assert answer.first_gap == brute_force.FIRST + timedelta(day)


@given(grants(0, ("Walnut Lantern",)), uses())
@settings(max_examples=100, deadline=None)
def test_a_licence_with_no_reason_covers_alone_and_one_with_a_reason_does_not(grant, use):
    answer = cover(use, picture="p1", licensee="Walnut Lantern", grants=[grant], trees=TREES)
    told = set(answer.reasons[grant.id])
    if grant.id in answer.unpaid_notes:
        assert Reason.UNPAID in told
        told -= {Reason.UNPAID}
    if answer.is_covered:
        assert not told - {Reason.CLASS, Reason.MEDIUM, Reason.TERRITORY}
    assert answer.is_covered == (not told)


def test_each_reason_occurs_and_so_do_covered_and_uncovered_uses():
    rng = Random(11)
    counts = Counter()
    for _ in range(300):
        made = [odd_grant(rng.choice, place, ("Walnut Lantern",)) for place in range(3)]
        use = odd_use(rng.choice)
        answer = cover(use, picture="p1", licensee="Walnut Lantern", grants=made, trees=TREES)
        assert answer.is_covered == (not brute_force.missing_cells(WORLD, use, made))
        counts["covered" if answer.is_covered else "gap"] += 1
        counts["noted"] += bool(answer.unpaid_notes)
        counts.update(reason for told in answer.reasons.values() for reason in told)
    assert all(counts[each] > 5 for each in (*Reason, "covered", "gap", "noted")), counts


def test_some_uses_are_covered_by_several_licences_together_alone():
    rng = Random(12)
    paid = {
        "classes": frozenset({"editorial", "stock"}),
        "state": State.PAID,
        "cut_on": None,
        "embargo_until": None,
        "copies": None,
    }
    together = 0
    for _ in range(300):
        wide = rng.choice(
            [
                {"media": frozenset({"all"}), "territories": frozenset({"world"})},
                {"use_from": brute_force.FIRST, "use_until": None},
            ]
        )
        made = [odd_grant(rng.choice, place, ("Walnut Lantern",), **paid, **wide) for place in range(4)]
        use = odd_use(rng.choice, copies=None, classes=frozenset({"stock"}))
        answer = cover(use, picture="p1", licensee="Walnut Lantern", grants=made, trees=TREES)
        assert answer.is_covered == (not brute_force.missing_cells(WORLD, use, made))
        together += answer.is_covered and all(answer.reasons.values())
    assert together > 5


# Who holds the whole of a wish already

WISH = replace(PAID, id="wanted", state=State.OFFERED, use_from=USE.use_from, use_until=USE.use_until)


def held(*grants, wanted=WISH):
    return held_whole(USE, wanted, grants)


def test_a_wish_is_held_by_what_covers_it_alone_paid_or_not_yet():
    assert held(PAID) == {"L-1"}
    assert held(replace(PAID, state=State.ACCEPTED)) == {"L-1"}
    assert held(replace(PAID, state=State.OFFERED)) == set()
    assert held(replace(PAID, licensee="Kvernmoor Mill")) == set()


def test_several_hold_a_wish_together_and_one_alone_is_enough():
    first, second = replace(PAID, use_until=date(2027, 3, 15)), replace(PAID, id="L-2", use_from=date(2027, 3, 15))
    assert held(first, second) == {"L-1", "L-2"}
    assert held(first) == set()
    assert held(first, second, replace(PAID, id="L-3")) == {"L-3"}


def test_a_wish_on_two_pictures_is_held_where_both_are():
    both = replace(WISH, pictures=frozenset({"p1", "p2"}))
    assert held(PAID, wanted=both) == set()
    assert held(PAID, replace(PAID, id="L-2", pictures=frozenset({"p2"})), wanted=both) == {"L-1", "L-2"}


@pytest.mark.parametrize(
    ("held_as", "until", "is_held"),
    [
        (Exclusivity.NONE, None, False),
        (Exclusivity.TRADE, None, True),
        (Exclusivity.PICTURE, None, True),
        (Exclusivity.PICTURE, date(2027, 3, 31), False),
        (Exclusivity.PICTURE, date(2027, 4, 1), True),
    ],
)
def test_a_wish_to_be_alone_is_held_by_what_shuts_out_as_many_as_long(held_as, until, is_held):
    alone = replace(WISH, exclusivity=Exclusivity.TRADE)
    assert bool(held(replace(PAID, exclusivity=held_as, exclusive_until=until), wanted=alone)) is is_held
