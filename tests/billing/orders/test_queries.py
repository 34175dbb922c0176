import pytest

from billing.estimates.actions import draft_estimate, revise_estimate
from billing.estimates.queries import is_called_off
from billing.orders import queries
from billing.orders.actions import ask_question, mark_question_answered
from shoots.brief.actions import cancel_shoot
from tests.factories.billing import AT, accepted, drafted, sent

pytestmark = pytest.mark.django_db


def test_waiting_estimates_are_those_sent_and_not_decided():
    waits = sent()
    drafted()
    accepted()
    assert list(queries.estimates_waiting()) == [waits]


def test_open_questions_wait_until_answered():
    question = ask_question(sent(), name="Maro", text="Sunday?", at=AT)
    assert list(queries.open_questions()) == [question]
    mark_question_answered(question, at=AT)
    assert not queries.open_questions()


def test_an_estimate_of_a_cancelled_shoot_waits_for_nobody():
    estimate = sent()
    assert not is_called_off(estimate)
    cancel_shoot(estimate.shoot, reason="Kitchen flooded", by="", at=AT)
    assert list(queries.estimates_waiting()) == []
    assert is_called_off(estimate)


def test_another_job_of_the_shoot_is_no_version_of_this_one():
    first = accepted()
    second = accepted(sent(draft_estimate(first.shoot, at=AT)))
    assert (list(queries.other_agreed(first)), list(queries.other_agreed(second))) == ([second], [first])
    assert list(queries.other_agreed(revise_estimate(first, at=AT))) == [second]
