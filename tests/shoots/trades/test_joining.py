from dataclasses import replace
from datetime import date, timedelta

from hypothesis import given
from hypothesis import strategies as st

from clients.trades import trade_key
from shoots.licences.conflicts import find_conflicts
from shoots.licences.grants import Grant
from shoots.licences.states import State
from shoots.trades.joining import meetings
from shoots.uses.intended import Exclusivity

ON = date(2027, 3, 1)
ROAST = Grant(
    id="1",
    licensee="roastery",
    pictures=frozenset({"p1"}),
    classes=frozenset({"advertising"}),
    media=frozenset({"web.paid_social"}),
    territories=frozenset({"DE"}),
    use_from=date(2027, 1, 1),
    use_until=date(2028, 1, 1),
    state=State.PAID,
    trade="coffee",
    exclusivity=Exclusivity.TRADE,
)
DRINKS = replace(ROAST, id="2", licensee="drinks", trade="hot drinks", exclusivity=Exclusivity.NONE)
BOTH = ("coffee", "hot drinks")


def pairs(*grants, on=ON):
    return [(each.clash.wanted, each.clash.held, each.must_stop) for each in meetings(grants, BOTH, on)]


def test_a_licence_exclusive_in_one_trade_meets_those_of_the_other():
    assert pairs(ROAST, DRINKS) == [("1", "2", False)]


def test_two_exclusive_ones_must_stop_it():
    assert pairs(ROAST, replace(DRINKS, exclusivity=Exclusivity.TRADE)) == [("1", "2", True)]


def test_what_clashes_today_already_is_no_news():
    assert pairs(ROAST, replace(DRINKS, trade=None)) == []
    assert pairs(replace(ROAST, exclusivity=Exclusivity.PICTURE), DRINKS) == []


def test_a_third_trade_stays_apart():
    assert pairs(ROAST, replace(DRINKS, trade="bakery")) == []


def test_days_that_are_over_count_no_more():
    assert pairs(replace(ROAST, use_until=ON), DRINKS) == []
    assert pairs(replace(ROAST, exclusive_until=ON), DRINKS) == []
    assert pairs(replace(ROAST, exclusive_until=ON + timedelta(days=1)), DRINKS) == [("1", "2", False)]
    assert pairs(replace(ROAST, state=State.REFUNDED), DRINKS) == []


DAYS = st.dates(date(2027, 1, 1), date(2027, 6, 1))


@st.composite
def grants(draw):
    made = []
    for number in range(draw(st.integers(2, 6))):
        first = draw(DAYS)
        until = draw(st.none() | st.integers(1, 120).map(lambda days, first=first: first + timedelta(days=days)))
        made.append(
            Grant(
                id=str(number),
                licensee=draw(st.sampled_from("abc")),
                pictures=frozenset(draw(st.sets(st.sampled_from(["p1", "p2"]), min_size=1))),
                classes=frozenset(draw(st.sets(st.sampled_from(["advertising", "editorial"]), min_size=1))),
                media=frozenset({draw(st.sampled_from(["web", "web.own", "print.menu"]))}),
                territories=frozenset({draw(st.sampled_from(["DE", "europe", "JP"]))}),
                use_from=first,
                use_until=until,
                state=draw(st.sampled_from([State.ACCEPTED, State.PAID, State.OFFERED])),
                trade=draw(st.sampled_from(["coffee", "Coffee ", "hot drinks", "bakery", None])),
                exclusivity=draw(st.sampled_from(list(Exclusivity))),
                exclusive_until=draw(st.none() | DAYS),
            )
        )
    return made


def meet_some_day(one, other, on):
    """Read day by day: one shuts the other out by its trade, on some day from ``on``, once both trades are one."""
    names = {trade_key(each) for each in BOTH}
    if not (one.trade and other.trade and trade_key(one.trade) != trade_key(other.trade)):
        return False
    if {trade_key(one.trade), trade_key(other.trade)} != names or one.exclusivity is not Exclusivity.TRADE:
        return False
    if one.licensee == other.licensee or not (one.is_blocking and other.is_blocking):
        return False
    if not (one.pictures & other.pictures and one.classes & other.classes):
        return False
    web = {"web", "web.own"}
    if not ({*one.media} & {*other.media} or ({*one.media} <= web and {*other.media} <= web)):
        return False
    if not (one.territories & other.territories or one.territories | other.territories == {"DE", "europe"}):
        return False
    return any(
        one.use_from <= day
        and (one.use_until is None or day < one.use_until)
        and (one.exclusive_until is None or day < one.exclusive_until)
        and other.use_from <= day
        and (other.use_until is None or day < other.use_until)
        for day in (on + timedelta(days=step) for step in range(300))
    )


@given(grants(), DAYS)
def test_it_finds_what_a_reading_day_by_day_finds(made, on):
    found = {(each.clash.wanted, each.clash.held) for each in meetings(made, BOTH, on)}
    read = {
        (one.id, other.id)
        for one in made
        for other in made
        if one.id < other.id and (meet_some_day(one, other, on) or meet_some_day(other, one, on))
    }
    # A pair that clashes already, by an exclusivity for the pictures, is no news.
    still = [
        each if each.use_from >= on else replace(each, use_from=on)
        for each in made
        if each.use_until is None or each.use_until > on
    ]
    assert found == read - set(find_conflicts(still))


@given(grants())
def test_joining_ends_no_clash(made):
    as_one = [replace(each, trade="coffee") if each.trade in ("Coffee ", "hot drinks") else each for each in made]
    assert set(find_conflicts(made)) <= set(find_conflicts(as_one))
