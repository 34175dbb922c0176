import pytest

from billing.estimates import queries
from tests.factories.billing import AT, accepted, drafted, sent

pytestmark = pytest.mark.django_db


def test_waiting_estimates_are_those_sent_and_not_decided():
    waits = sent()
    drafted()
    accepted()
    assert list(queries.estimates_waiting()) == [waits]


def test_the_shoot_runs_by_the_terms_of_its_accepted_estimate():
    estimate = accepted()
    assert queries.accepted_estimate_of(estimate.shoot) == estimate


def test_open_questions_wait_until_answered():
    from billing.estimates.actions import ask_question, mark_question_answered

    question = ask_question(sent(), name="Maro", text="Sunday?", at=AT)
    assert list(queries.open_questions()) == [question]
    mark_question_answered(question, at=AT)
    assert not queries.open_questions()


def test_the_newest_estimate_stands_first_with_its_open_questions():
    from billing.estimates.actions import ask_question

    first, second = sent(), sent()
    ask_question(first, name="Maro", text="Sunday?", at=AT)
    assert [(each, each.open_questions) for each in queries.estimates_listed()] == [(second, 0), (first, 1)]
