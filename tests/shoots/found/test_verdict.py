from dataclasses import replace
from datetime import date

import pytest

from shoots.found.verdict import Held, Seen, copies_are_open, is_overdue, judge, known_on
from shoots.found.wording import missing_parts, reason_sentences
from shoots.licences.cover import Reason
from shoots.licences.grants import Grant
from shoots.licences.states import State
from shoots.uses.intended import Begins

SEEN = Seen(
    pictures=("p1",), seen_on=date(2026, 11, 18), since=None, classes=frozenset({"advertising"}), media=frozenset({"web.own"}),
    territories=frozenset({"DE"}), copies=None, user="mill",
)  # fmt: skip
GRANT = Grant(
    id="1", licensee="mill", pictures=frozenset({"p1"}), classes=frozenset({"advertising"}), media=frozenset({"web.own", "web.social"}),
    territories=frozenset({"DE", "AT"}), use_from=date(2026, 1, 1), use_until=date(2027, 1, 1), state=State.PAID,
)  # fmt: skip
HELD = Held(GRANT, "L-2026-001", "Kvernmoor Mill", date(2025, 12, 20), date(2026, 1, 1))


def held(**change):
    return replace(HELD, grant=replace(GRANT, **change))


def test_a_use_within_a_licence_is_covered_and_says_by_which():
    verdict = judge(SEEN, [HELD])
    assert verdict.is_covered is True
    assert dict(verdict.pictures[0].own.reasons) == {"1": ()}


@pytest.mark.parametrize("part", ["pictures", "classes", "media", "territories"])
def test_without_what_must_be_known_there_is_no_answer(part):
    verdict = judge(replace(SEEN, **{part: type(getattr(SEEN, part))()}), [HELD])
    assert verdict.is_covered is None
    assert verdict.missing == (part,)


REFUSED = {
    Reason.UNPAID: (held(state=State.ACCEPTED), SEEN, "Its fee is not paid, and use begins only after that."),
    Reason.CLASS: (held(classes=frozenset({"editorial"})), SEEN, "It is no licence for this kind of use: advertising."),
    Reason.MEDIUM: (held(media=frozenset({"web.social"})), SEEN, "It does not reach this medium: website."),
    Reason.TERRITORY: (held(territories=frozenset({"AT"})), SEEN, "It does not reach this market: Germany."),
    Reason.TOO_EARLY: (held(use_from=date(2026, 12, 1)), SEEN, "Use begins on 1 Dec 2026; it was in use on 18 Nov 2026."),
    Reason.ENDED: (held(use_until=date(2026, 11, 1)), SEEN, "Its last day was 31 Oct 2026."),
    Reason.EMBARGO: (held(embargo_until=date(2026, 12, 1)), SEEN, "Nothing may be shown before 1 Dec 2026."),
    Reason.QUANTITY: (
        held(media=frozenset({"print.menu"}), copies=500, copies_used=100),
        replace(SEEN, media=frozenset({"print.menu"}), copies=600),
        "400 copies are left; 600 were seen.",
    ),
}  # fmt: skip


def test_there_is_a_case_for_every_reason():
    assert list(REFUSED) == list(Reason)


@pytest.mark.parametrize("reason", list(Reason))
def test_every_reason_occurs_alone_and_is_a_sentence(reason):
    licence, seen, sentence = REFUSED[reason]
    verdict = judge(seen, [licence])
    reasons = verdict.pictures[0].own.reasons["1"]
    assert verdict.is_covered is False
    assert reasons == (reason,)
    said = reason_sentences(licence, seen.use, reasons)
    assert [each.replace("\u202f", " ").replace("\xa0", " ") for each in said] == [sentence]


def test_what_is_lacking_is_named_and_nothing_else():
    seen = replace(SEEN, media=frozenset({"web.own", "print.ad"}), territories=frozenset({"DE", "CH"}))
    assert missing_parts(HELD, seen.use) == ((), ("print.ad",), ("CH",))


def test_the_first_known_day_counts_too():
    assert judge(replace(SEEN, since=date(2025, 12, 31)), [HELD]).is_covered is False
    assert judge(replace(SEEN, since=date(2026, 1, 1)), [HELD]).is_covered is True


def test_the_last_day_of_use_is_covered_and_the_day_after_is_not():
    assert judge(replace(SEEN, seen_on=date(2026, 12, 31)), [HELD]).is_covered is True
    assert judge(replace(SEEN, seen_on=date(2027, 1, 1)), [HELD]).is_covered is False


def test_another_clients_licence_is_said_and_does_not_cover():
    for user in (None, "pantry"):
        verdict = judge(replace(SEEN, user=user), [HELD])
        assert verdict.is_covered is False
        assert verdict.would_be == {"mill"}
        assert [who for who, _ in verdict.pictures[0].would] == ["mill"]


def test_a_client_who_covers_one_of_two_pictures_would_not_cover_the_use():
    verdict = judge(replace(SEEN, user=None, pictures=("p1", "p2")), [HELD])
    assert [len(each.would) for each in verdict.pictures] == [1, 0]
    assert verdict.would_be == frozenset()


def test_a_licence_agreed_later_counts_now_and_did_not_then():
    later = replace(HELD, agreed_on=date(2026, 11, 19))
    assert judge(SEEN, [later]).is_covered is True
    assert known_on([later], SEEN.seen_on) == ()
    assert known_on([later], date(2026, 11, 19)) == (later,)
    assert known_on([replace(HELD, agreed_on=None)], SEEN.seen_on) == ()


def test_a_fee_paid_later_was_unpaid_then():
    later = replace(HELD, paid_on=date(2026, 11, 19))
    then = judge(SEEN, known_on([later], SEEN.seen_on))
    assert then.is_covered is False
    assert then.pictures[0].own.reasons["1"] == (Reason.UNPAID,)
    begun = replace(later, grant=replace(GRANT, begins=Begins.ON_DATE, begins_on=date(2026, 1, 1)))
    assert judge(SEEN, known_on([begun], SEEN.seen_on)).is_covered is True


def test_copies_are_an_open_question_only_where_a_licence_limits_them():
    limited = held(copies=500)
    assert copies_are_open(SEEN, [limited])
    assert not copies_are_open(SEEN, [HELD])
    assert not copies_are_open(replace(SEEN, copies=3), [limited])
    assert not copies_are_open(replace(SEEN, pictures=("p2",)), [limited])


def test_a_letter_is_overdue_from_the_day_after():
    day = date(2026, 12, 4)
    assert [is_overdue(day, each) for each in (day, date(2026, 12, 5))] == [False, True]
    assert not is_overdue(None, day)
