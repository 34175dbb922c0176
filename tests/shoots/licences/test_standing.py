from dataclasses import replace
from datetime import date, timedelta

import pytest

from shared.words.formats import plain_spaces
from shoots.licences.grants import Grant
from shoots.licences.standing import Standing, bars_of, ends_soon, shown_on, standing_of
from shoots.licences.states import State
from shoots.uses.intended import Begins, Exclusivity

TODAY = date(2026, 11, 20)
YEAR = Grant(
    id="1", licensee="2", pictures=frozenset({"3"}), classes=frozenset({"advertising"}), media=frozenset({"web.own"}), territories=frozenset({"DE"}),
    use_from=date(2026, 3, 1), use_until=date(2027, 3, 1), state=State.PAID,
)  # fmt: skip
DELIVERED = {"begins": Begins.ON_DELIVERY, "delivered_on": date(2026, 3, 1)}


@pytest.mark.parametrize(
    ("change", "standing", "words"),
    [
        ({}, Standing.RUNNING, "Until 28 Feb 2027"),
        ({"use_until": None}, Standing.RUNNING, "Without end"),
        ({"state": State.DRAFT}, Standing.DRAFT, "Draft"),
        ({"state": State.OFFERED}, Standing.OFFERED, "Offered"),
        ({"state": State.DECLINED}, Standing.OFF, "Declined"),
        ({"state": State.REFUNDED}, Standing.OFF, "Refunded"),
        ({"state": State.ACCEPTED, "is_placed": False}, Standing.UNPLACED, "Agreed, not placed yet"),
        ({"state": State.ACCEPTED}, Standing.WAITING, "Starts on payment"),
        ({"state": State.ACCEPTED, "begins": Begins.ON_DELIVERY}, Standing.WAITING, "Starts on delivery"),
        ({"state": State.ACCEPTED, **DELIVERED}, Standing.RUNNING, "Until 28 Feb 2027"),
        ({"state": State.ACCEPTED, **DELIVERED, "lapses_on": TODAY}, Standing.LAPSED, "Lapsed unpaid on 20 Nov 2026"),
        ({"use_from": date(2026, 12, 1)}, Standing.COMING, "Begins on 1 Dec 2026"),
        ({"embargo_until": date(2026, 12, 24)}, Standing.COMING, "Begins on 24 Dec 2026"),
        ({"use_until": TODAY}, Standing.ENDED, "Ended, last day 19 Nov 2026"),
        ({"state": State.REVOKED, "cut_on": TODAY}, Standing.ENDED, "Revoked, last day 19 Nov 2026"),
        ({"state": State.SUPERSEDED, "cut_on": TODAY}, Standing.ENDED, "Superseded, last day 19 Nov 2026"),
    ],
)
def test_a_licence_stands_as_its_state_and_days_say(change, standing, words):
    grant = replace(YEAR, **change)
    assert standing_of(grant, TODAY) is standing
    assert plain_spaces(shown_on(grant, TODAY).words) == words


def test_unpaid_use_says_its_last_day():
    grant = replace(YEAR, state=State.ACCEPTED, **DELIVERED)
    assert shown_on(grant, TODAY).note == "Not paid yet"
    known = shown_on(replace(grant, lapses_on=date(2026, 12, 30)), TODAY)
    assert plain_spaces(known.note) == "Not paid yet: last day 29 Dec 2026 if it stays so"
    assert "keeps others out" in shown_on(replace(grant, lapses_on=TODAY), TODAY).note


def test_ending_is_within_sixty_days_of_the_last_day():
    last = TODAY + timedelta(days=60)
    assert ends_soon(replace(YEAR, use_until=last + timedelta(days=1)), TODAY)
    assert not ends_soon(replace(YEAR, use_until=last + timedelta(days=2)), TODAY)
    assert not ends_soon(replace(YEAR, use_until=None), TODAY)
    assert not ends_soon(replace(YEAR, use_until=TODAY), TODAY)


def kinds(grant):
    return [(bar.kind, bar.from_on, bar.last_on) for bar in bars_of(grant, TODAY, who="Kvernmoor Mill")]


def test_a_bar_ends_on_the_last_day():
    assert kinds(YEAR) == [("granted", date(2026, 3, 1), date(2027, 2, 28))]


def test_only_the_exclusive_part_is_dark():
    grant = replace(YEAR, exclusivity=Exclusivity.PICTURE, exclusive_until=date(2026, 9, 1))
    assert [kind for kind, _first, _last in kinds(grant)] == ["sole", "granted"]
    assert kinds(grant)[1][1] == date(2026, 9, 1)
    assert [kind for kind, *_days in kinds(replace(grant, exclusive_until=None))] == ["sole"]


@pytest.mark.parametrize(
    ("change", "found"),
    [
        ({"state": State.DECLINED}, []),
        ({"state": State.OFFERED}, ["due"]),
        ({"state": State.ACCEPTED}, ["due"]),
        ({"state": State.ACCEPTED, "is_placed": False}, ["due"]),
        ({"use_until": TODAY}, ["past"]),
        ({"state": State.ACCEPTED, **DELIVERED, "lapses_on": TODAY}, ["past"]),
        ({"state": State.REVOKED, "cut_on": date(2026, 3, 1)}, []),
    ],
)
def test_what_is_not_running_is_dashed_or_past(change, found):
    assert [kind for kind, *_days in kinds(replace(YEAR, **change))] == found


LONG = "The Oystercatcher Pantry and Provisions Company of the Northern Harbours"


@pytest.mark.parametrize(
    ("change", "read_out", "in_a_named_lane"),
    [
        ({}, f"{LONG} until 28 Feb 2027", "Until 28 Feb 2027"),
        ({"use_until": None}, LONG, "Without end"),
        ({"state": State.OFFERED}, f"{LONG}, on offer", "On offer"),
        ({"state": State.ACCEPTED}, f"{LONG}, starts on payment", "Starts on payment"),
        ({"use_until": TODAY}, f"{LONG}, ended", "Ended"),
        ({"exclusivity": Exclusivity.PICTURE}, f"{LONG}, exclusive", "Exclusive"),
        (
            {"embargo_until": date(2026, 12, 24)},
            f"{LONG} until 28 Feb 2027, shown from 24 Dec 2026",
            "Until 28 Feb 2027, shown from 24 Dec 2026",
        ),
        (
            {"embargo_until": date(2026, 12, 24), "use_until": None},
            f"{LONG}, shown from 24 Dec 2026",
            "Shown from 24 Dec 2026",
        ),
        ({"embargo_until": TODAY}, f"{LONG} until 28 Feb 2027", "Until 28 Feb 2027"),
    ],
)
def test_a_long_name_never_hides_the_fact_behind_it(change, read_out, in_a_named_lane):
    grant = replace(YEAR, **change)
    (bar,), (named,) = (bars_of(grant, TODAY, who=LONG, is_named=each) for each in (False, True))
    assert plain_spaces(bar.words) == plain_spaces(named.words) == read_out
    assert plain_spaces(bar.drawn) == read_out.replace(LONG, "The Oystercatcher Pantry…")
    assert plain_spaces(named.drawn) == in_a_named_lane
    (short,) = bars_of(YEAR, TODAY, who="Kvernmoor Mill")
    assert short.drawn == ""
