import json
from datetime import date

import pytest

from shoots.found.queries import answer_of, found_in_full
from shoots.found.scenario import scenario_of
from shoots.found.verdict import judge
from shoots.licences.actions import revoke_licence
from shoots.licences.cover import Reason
from shoots.licences.models import Licence
from shoots.licences.scenarios import answer_scenario
from tests.factories import found as make
from tests.factories import licences
from tests.shoots.found.test_verdict import HELD, REFUSED, SEEN


def both(seen, held):
    """The verdict of the page and the answers of the door, asked through text as a file would be."""
    verdict = judge(seen, held)
    answers, is_allowed = answer_scenario(json.loads(json.dumps(scenario_of(seen, held))))
    return verdict, answers["answers"], is_allowed


@pytest.mark.parametrize("reason", [None, *Reason])
def test_the_door_gives_the_answer_of_the_page_for_every_reason(reason):
    licence, seen, _said = REFUSED[reason] if reason else (HELD, SEEN, "")
    verdict, answers, is_allowed = both(seen, [licence])
    assert is_allowed is verdict.is_covered is (reason is None)
    assert answers["p1"]["reasons"] == {"1": [str(reason)] if reason else []}


@pytest.mark.django_db
def test_a_recorded_use_gets_the_same_answer_through_the_door():
    picture, other = licences.picture_of(), licences.picture_of()
    licence = licences.granted([picture], first_day=date(2026, 11, 1), fee_net=0)
    found = make.recorded([picture, other], client=licence.licensee, user_name="")
    answer = answer_of(found_in_full(found.pk).get())
    verdict, answers, is_allowed = both(answer["seen"], answer["held"])
    assert verdict == answer["now"]
    assert is_allowed is False
    assert [each.is_covered for each in verdict.pictures] == [
        answers[str(key)]["covered"] for key in (picture.pk, other.pk)
    ]
    assert {answers[str(key)]["covered"] for key in (picture.pk, other.pk)} == {True, False}


@pytest.mark.django_db
def test_a_revoked_licence_is_asked_as_what_it_grants():
    picture = licences.picture_of()
    licence = licences.granted([picture], first_day=date(2026, 11, 1), fee_net=0)
    licence = Licence.objects.get(pk=licence.pk)
    revoke_licence(licence, cut_on=make.SEEN, reason="Agreed otherwise", at=make.AT)
    found = make.used_by(licence.licensee, picture)
    answer = answer_of(found_in_full(found.pk).get())
    verdict, answers, is_allowed = both(answer["seen"], answer["held"])
    assert is_allowed is verdict.is_covered is False
    assert answers[str(picture.pk)]["reasons"] == {str(licence.pk): ["ENDED"]}
