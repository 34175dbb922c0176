import pytest

from shoots.brief.steps import job_steps


@pytest.mark.parametrize(
    ("state", "done", "current"),
    [
        ("enquiry", [], "Enquiry"),
        ("pencilled", ["Enquiry"], "Day held"),
        ("confirmed", ["Enquiry", "Day held"], "Confirmed"),
        ("shot", ["Enquiry", "Day held", "Confirmed", "Shot"], "Choosing and finishing"),
    ],
)
def test_the_line_of_steps_shows_what_is_done_and_what_waits(state, done, current):
    steps = job_steps(state)
    assert [step.words for step in steps if step.is_done] == done
    assert [step.words for step in steps if step.is_current] == [current]


def test_a_delivered_job_waits_for_nothing():
    assert all(step.is_done and not step.is_current for step in job_steps("delivered"))


@pytest.mark.parametrize("state", ["cancelled", "postponed"])
def test_a_job_that_is_off_has_no_line(state):
    assert job_steps(state) == ()
