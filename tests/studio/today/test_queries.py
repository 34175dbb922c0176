from datetime import UTC, date, datetime, timedelta

import pytest

from billing.estimates.actions import draft_estimate
from shoots.found.actions import record_outcome
from shoots.releases.actions import decide_withdrawal, withdraw_release
from studio.today.queries import day_at_a_glance, money_owed, month_in_figures, shoots_on_the_rail, work_of_the_month
from tests.factories.expenses import ExpenseFactory
from tests.factories.found import recorded
from tests.factories.pictures import picture_of
from tests.factories.plan import ShotFactory
from tests.factories.releases import offered_release, shoot_with_cook, signed_release
from tests.factories.shoots import DishFactory, ShootFactory

pytestmark = pytest.mark.django_db
AT = datetime(2026, 11, 12, 8, 0, tzinfo=UTC)
ON = date(2026, 11, 12)


def test_three_coming_shoots_hang_on_the_rail_nearest_first():
    later = [ShootFactory(first_on=ON + timedelta(days=days)) for days in (9, 2, 30, 60)]
    ShootFactory(first_on=None)
    ShootFactory(first_on=ON - timedelta(days=1))
    assert shoots_on_the_rail(ON) == [later[1], later[0], later[2]]


def test_a_shoot_on_the_rail_counts_its_dishes_and_shots_and_says_how_its_papers_stand():
    quoted = shoot_with_cook()
    draft_estimate(quoted, at=AT)
    quoted.estimates.update(state="sent")
    DishFactory.create_batch(2, shoot=quoted)
    ShotFactory.create_batch(3, shoot=quoted)
    signed_release(quoted)
    bare = ShootFactory(first_on=quoted.first_on + timedelta(days=1))

    def said(shoot):
        return shoot, shoot.dish_count, shoot.shot_count, shoot.is_signed, shoot.is_offered, shoot.is_accepted

    first, second = shoots_on_the_rail(ON)
    assert said(first) == (quoted, 2, 3, True, True, False)
    assert said(second) == (bare, 0, 0, False, False, False)


def test_the_owner_sees_work_and_money_the_assistant_no_money_the_accountant_no_set(owner, assistant, accountant):
    offered_release(shoot_with_cook())
    assert {"money", "rail", "figures", "kept_messages"} <= day_at_a_glance(owner, AT).keys()
    helper = day_at_a_glance(assistant, AT)
    assert "rail" in helper
    assert not {"money", "figures", "messages", "raises"} & helper.keys()
    books = day_at_a_glance(accountant, AT)
    assert "money" in books
    assert not {"rail", "releases", "messages"} & books.keys()


def test_a_use_found_that_nobody_looked_into_waits(owner, accountant):
    found = recorded()
    done = recorded()
    record_outcome(done, "given_up", answered_on=found.seen_on, at=AT)
    assert day_at_a_glance(owner, AT)["found"] == [found]
    assert "found" not in day_at_a_glance(accountant, AT)


def test_the_sentence_names_what_waits(owner):
    offered_release(shoot_with_cook())
    assert (
        day_at_a_glance(owner, AT)["sentence"]
        == "Nothing to shoot today, the next shoot is in 2 days. One release is not signed."
    )


def test_figures_count_this_month_only():
    shoot = shoot_with_cook(shot_on=ON)
    picture_of(shoot, at=AT)
    ExpenseFactory()
    ExpenseFactory(spent_on=date(2026, 10, 31))
    ExpenseFactory(spent_on=date(2026, 12, 1))
    ExpenseFactory(currency="CHF")
    assert str(month_in_figures(ON, "EUR")["spent"]) == "{'EUR': Decimal('72.00'), 'CHF': Decimal('72.00')}"
    assert month_in_figures(ON, "EUR")["invoiced"] == {"EUR": 0}
    assert work_of_the_month(ON) == {"shoots": 1, "shots": 0, "pictures": 1}
    assert money_owed(ON)["rows"] == []


def test_a_withdrawal_waits_until_the_photographer_decides(owner, assistant, accountant):
    withdrawn = withdraw_release(signed_release(), reason="Left the house", at=AT)
    for user in (owner, assistant):
        assert day_at_a_glance(user, AT)["withdrawals"] == [withdrawn]
    assert "withdrawals" not in day_at_a_glance(accountant, AT)
    decide_withdrawal(withdrawn, decision="keep", at=AT)
    assert day_at_a_glance(owner, AT)["withdrawals"] == []
