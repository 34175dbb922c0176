import json
import random
from collections import Counter
from datetime import date, timedelta

import pytest

from shoots.found.queries import answer_of, found_in_full
from shoots.found.scenario import scenario_of
from shoots.found.verdict import Held, Seen, judge
from shoots.licences.cover import Reason
from shoots.licences.models import Licence
from shoots.licences.scenarios import answer_scenario
from shoots.life.actions import revoke_licence
from tests.factories import found as make
from tests.factories import licences
from tests.shoots.found.test_verdict import HELD, REFUSED, SEEN
from tests.shoots.licences.brute_force import FIRST
from tests.shoots.licences.odd_licences import odd_grant, odd_use


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


def a_use_seen(pick):
    days = range(-3, 70)
    seen_on, since = pick(days), pick([None, *days])
    use = odd_use(pick)
    return Seen(
        pictures=pick([("p1",), ("p1", "p2")]),
        seen_on=FIRST + timedelta(days=max(seen_on, seen_on if since is None else since)),
        since=None if since is None else FIRST + timedelta(days=since),
        classes=use.classes,
        media=use.media,
        territories=use.territories,
        copies=pick([None, None, 5, 5000]),
        user=pick([None, "Walnut Lantern", "Kvernmoor Mill"]),
    )


def test_whatever_the_licences_the_door_says_what_the_page_says():
    lot, counted = random.Random(5), Counter()

    def pick(choices):
        return lot.choice(list(choices))

    for _ in range(3000):
        grants = [odd_grant(pick, place, pictures=("p1", "p2")) for place in range(pick(range(6)))]
        held = [Held(grant, grant.id, grant.licensee, FIRST, None) for grant in grants]
        verdict, answers, is_allowed = both(a_use_seen(pick), held)
        assert is_allowed is verdict.is_covered
        for each in verdict.pictures:
            reasons = each.own.reasons if each.own else {}
            told = {key: [str(reason) for reason in why] for key, why in reasons.items()}
            assert answers[each.picture]["covered"] is each.is_covered
            assert answers[each.picture]["reasons"] == told
            counted.update([each.is_covered, *(word for words in told.values() for word in words)])
    assert {True, False, *map(str, Reason)} == set(counted)
    assert counted[True] > 20


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
