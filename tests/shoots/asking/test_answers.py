from datetime import date

import pytest

from shoots.asking.answers import Answer, Asked, Stand, ask, clashes_with, held_already, is_yes, rivals_of
from shoots.licences.availability import FREE, Selling, SellingOn
from shoots.licences.conflicts import claim_of
from shoots.licences.grants import Grant
from shoots.licences.states import State
from shoots.releases.clearance import ReleaseTerms, Subject
from shoots.uses.days import Length
from shoots.uses.intended import Exclusivity, InvalidUse


def wish(**also):
    chosen = {
        "licensee": "mill", "trade": "bakery", "classes": frozenset({"advertising"}), "media": frozenset({"web.display"}),
        "territories": frozenset({"DE"}), "first": date(2027, 1, 1), "length": Length(months=12),
    }  # fmt: skip
    return Asked(**{**chosen, **also})


def grant(**also):
    chosen = {
        "id": "7", "licensee": "pantry", "pictures": frozenset({"1"}), "classes": frozenset({"advertising"}), "media": frozenset({"web"}),
        "territories": frozenset({"europe"}), "use_from": date(2026, 6, 1), "use_until": date(2027, 6, 1), "state": State.PAID,
        "exclusivity": Exclusivity.PICTURE,
    }  # fmt: skip
    return Grant(**{**chosen, **also})


def test_a_rival_that_ends_makes_it_not_yet_and_says_from_when():
    found = ask(wish(), Stand((claim_of(grant()),), FREE))
    assert (found.answer, found.free_from, found.rivals) == (Answer.NOT_YET, date(2027, 6, 1), ("7",))


def test_a_rival_without_end_makes_it_a_no():
    found = ask(wish(), Stand((claim_of(grant(use_until=None)),), FREE))
    assert (found.answer, found.free_from) == (Answer.NO, None)


def test_a_shoot_whose_client_never_agreed_makes_it_a_no_for_others_and_a_yes_for_them():
    stand = Stand((), SellingOn(Selling.NOT_AGREED, commissioned_by="lantern"))
    assert ask(wish(), stand).answer is Answer.NO
    assert ask(wish(licensee="lantern"), stand).answer is Answer.YES


def test_selling_on_after_a_day_is_not_yet():
    stand = Stand((), SellingOn(Selling.AFTER, date(2027, 1, 31), commissioned_by="lantern"))
    assert (ask(wish(), stand).answer, ask(wish(), stand).free_from) == (Answer.NOT_YET, date(2027, 2, 1))
    assert is_yes(wish(first=date(2027, 2, 1)), stand)


def test_a_missing_release_and_a_picture_nobody_looked_at_are_not_yet_and_a_withdrawal_is_no():
    assert ask(wish(), Stand((), FREE, people=(Subject(id="cook"),))).answer is Answer.NOT_YET
    assert ask(wish(), Stand((), FREE, people=None)).answer is Answer.NOT_YET
    withdrawn = Subject(id="cook", releases=(ReleaseTerms(is_signed=True, is_withdrawn=True),))
    assert ask(wish(), Stand((), FREE, people=(withdrawn,))).answer is Answer.NO


def test_the_clashes_told_are_those_of_the_answer():
    held = [grant(), grant(id="8", media=frozenset({"print"})), grant(id="9", licensee="mill")]
    asked = wish(exclusivity=Exclusivity.TRADE, exclusive_months=3)
    told = [clash.held for clash in clashes_with(asked, "1", held)]
    assert (
        told == [claim.id for claim in rivals_of(asked, Stand(tuple(claim_of(each) for each in held), FREE))] == ["7"]
    )


def test_what_the_buyer_holds_already_is_told():
    held = [grant(licensee="mill", use_until=None)]
    assert held_already(wish(), "1", held).is_covered
    assert not held_already(wish(media=frozenset({"print"})), "1", held).is_covered


@pytest.mark.parametrize(
    "fault",
    [
        {"media": frozenset()}, {"territories": frozenset({"nowhere"})}, {"length": Length(days=0)}, {"length": Length(months=0)},
        {"first": date(9999, 6, 1)}, {"end": date(2026, 12, 1)}, {"exclusive_months": -1},
    ],
)  # fmt: skip
def test_a_question_that_cannot_be_is_refused(fault):
    with pytest.raises(InvalidUse):
        wish(**fault)


def test_a_use_without_end_reaches_past_every_calendar():
    assert wish(first=date(9999, 12, 31), length=Length()).until is None
    assert ask(wish(length=Length()), Stand((), FREE)).answer is Answer.YES
