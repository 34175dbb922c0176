import copy

import pytest

from shoots.licences.scenarios import InvalidScenario, answer_scenario

MILL = {
    "id": "mill",
    "pictures": ["p1"],
    "licensee": "Kvernmoor Mill",
    "trade": "bakery",
    "classes": ["advertising"],
    "media": ["print.packaging", "web.display"],
    "territories": ["DE"],
    "use_from": "2026-03-01",
    "use_until": "2027-03-01",
    "state": "paid",
    "exclusivity": {"kind": "picture", "until": None},
    "embargo_until": None,
    "cut_on": None,
    "begins": "on_payment",
    "delivered_on": None,
    "lapses_on": None,
    "copies": 1000,
    "copies_used": 200,
}
PANTRY = {
    "id": "pantry",
    "pictures": ["p1", "p2"],
    "licensee": "Oystercatcher Pantry",
    "classes": ["advertising"],
    "media": ["web"],
    "territories": ["DE", "AT"],
    "use_from": "2027-01-01",
    "use_until": None,
    "state": "accepted",
    "begins": "2027-01-15",
}
USE = {
    "picture": "p1",
    "licensee": "Kvernmoor Mill",
    "classes": ["advertising"],
    "media": ["print.packaging"],
    "territories": ["DE"],
    "from": "2026-12-01",
    "until": "2027-03-01",
    "copies": 800,
}
WISH = {
    "picture": "p1",
    "licensee": "Spoon & Lamp",
    "trade": None,
    "classes": ["advertising"],
    "media": ["web.display"],
    "territories": ["DE"],
    "from": "2026-12-01",
    "months": 6,
    "exclusivity": {"kind": "none", "months": None},
}
COOK = {"id": "cook", "minor": False, "release": {"signed": True, "own_promotion_of": "Walnut Lantern"}}
SCENARIO = {
    "licences": [MILL, PANTRY],
    "pictures": {"p1": {"people": [COOK], "properties": [], "selling_on": "free"}},
    "questions": [
        {"id": "q1", "ask": "conflicts"},
        {"id": "q2", "ask": "coverage", "use": USE},
        {"id": "q3", "ask": "clearance", "use": USE},
        {"id": "q4", "ask": "free_from", "wish": WISH},
    ],
}


def asked(ask, **changes):
    question = {"id": "q", "ask": ask}
    if ask != "conflicts":
        noun, base = ("wish", WISH) if ask == "free_from" else ("use", USE)
        question[noun] = {**base, **changes.pop(noun, {})}
    answers, allowed = answer_scenario({**SCENARIO, **changes, "questions": [question]})
    return answers["answers"]["q"], allowed


def test_all_four_questions_are_answered_in_one_object():
    answers, allowed = answer_scenario(SCENARIO)
    assert allowed is False
    assert answers == {
        "answers": {
            "q1": [["mill", "pantry"]],
            "q2": {"covered": True, "first_gap": None, "reasons": {"mill": []}, "none": False},
            "q3": {
                "verdict": "not_cleared",
                "notes": ["SCOPE:cook"],
                "model_release": "MR-LMR",
                "property_release": "PR-NAP",
            },
            "q4": {"free_from": "2027-03-01", "blocked_by": ["mill"]},
        }
    }


def test_all_is_allowed_where_nothing_conflicts_and_the_use_is_covered():
    assert asked("conflicts", licences=[MILL]) == ([], True)
    assert asked("coverage")[1] is True
    assert asked("free_from", licences=[]) == ({"free_from": "2026-12-01", "blocked_by": []}, True)


def test_a_gap_is_told_with_its_day_and_the_reasons_of_each_licence():
    answer, allowed = asked("coverage", use={"until": "2027-04-01", "copies": 801})
    assert (answer["first_gap"], answer["reasons"], allowed) == ("2026-12-01", {"mill": ["ENDED", "QUANTITY"]}, False)
    stranger, _ = asked("coverage", use={"licensee": "Walnut Lantern"})
    assert stranger == {"covered": False, "first_gap": "2026-12-01", "reasons": {}, "none": True}


def test_a_licence_that_begins_on_a_date_covers_from_it_with_the_note_unpaid():
    use = {"licensee": "Oystercatcher Pantry", "media": ["web.own"], "until": None, "copies": None}
    assert asked("coverage", use={**use, "from": "2027-01-15"}) == (
        {"covered": True, "first_gap": None, "reasons": {"pantry": ["UNPAID"]}, "none": False},
        True,
    )
    early, _ = asked("coverage", use={**use, "from": "2027-01-14"})
    assert early["reasons"] == {"pantry": ["UNPAID", "TOO_EARLY"]}


def test_a_picture_left_out_is_not_assessed_and_free_to_be_sold():
    answer, allowed = asked("clearance", use={"picture": "p9"})
    assert answer == {
        "verdict": "not_cleared",
        "notes": ["NOT_ASSESSED:people", "NOT_ASSESSED:properties"],
        "model_release": None,
        "property_release": None,
    }
    assert allowed is False
    assert asked("free_from", wish={"picture": "p9"})[1] is True


def test_editorial_use_is_cleared_with_a_note_and_that_is_allowed():
    answer, allowed = asked("clearance", use={"classes": ["editorial"]})
    assert (answer["verdict"], allowed) == ("cleared_with_note", True)


@pytest.mark.parametrize(
    ("selling_on", "free", "blocked_by"),
    [
        ("no", None, ["COMMISSION", "mill"]),
        ({"after": "2027-05-31"}, "2027-06-01", ["COMMISSION", "mill"]),
        ({"not_to": ["coffee"]}, None, ["COMMISSION", "mill"]),
        ("free", "2027-03-01", ["mill"]),
    ],
)
def test_selling_on_limits_what_is_free(selling_on, free, blocked_by):
    answer, _ = asked("free_from", pictures={"p1": {"selling_on": selling_on, "commissioned_by": "Walnut Lantern"}})
    assert answer == {"free_from": free, "blocked_by": blocked_by}


def test_the_file_may_bring_its_own_trees():
    trees = {
        "media": {"m": {"parent": None, "exhaustive": True}, "m.a": {"parent": "m"}, "m.b": {"parent": "m"}},
        "territories": {"t": {}},
    }
    licence = {**MILL, "media": ["m.a", "m.b"], "territories": ["t"]}
    answer, allowed = asked("coverage", trees=trees, licences=[licence], use={"media": ["m"], "territories": ["t"]})
    assert (answer["covered"], allowed) == (True, True)
    assert asked("coverage", trees={"media": None})[1] is True


def broken(path, value):
    """The scenario with one value replaced; ... takes the key away."""
    data = copy.deepcopy(SCENARIO)
    place = data
    for step in path[:-1]:
        place = place[step]
    if value is ...:
        del place[path[-1]]
    else:
        place[path[-1]] = value
    return data


@pytest.mark.parametrize(
    ("where", "value", "path"),
    [
        (["questions"], ..., "questions"),
        (["licences"], {}, "licences"),
        (["colour"], 1, "colour"),
        (["licences", 0, "licensee"], ..., "licences[0].licensee"),
        (["licences", 0, "use_until"], ..., "licences[0].use_until"),
        (["licences", 0, "use_until"], "2026-02-30", "licences[0].use_until"),
        (["licences", 0, "use_until"], "20270301", "licences[0].use_until"),
        (["licences", 0, "use_until"], "2026-03-01", "licences[0].use_until"),
        (["licences", 0, "use_from"], None, "licences[0].use_from"),
        (["licences", 0, "media"], [], "licences[0].media"),
        (["licences", 0, "media", 1], "fax", "licences[0].media[1]"),
        (["licences", 0, "territories", 0], 7, "licences[0].territories[0]"),
        (["licences", 0, "classes"], "advertising", "licences[0].classes"),
        (["licences", 0, "classes", 0], "poetry", "licences[0].classes[0]"),
        (["licences", 0, "pictures"], [], "licences[0].pictures"),
        (["licences", 0, "state"], "lost", "licences[0].state"),
        (["licences", 0, "state"], [], "licences[0].state"),
        (["licences", 0, "exclusivity"], {"until": None}, "licences[0].exclusivity.kind"),
        (["licences", 0, "exclusivity", "months"], 3, "licences[0].exclusivity.months"),
        (["licences", 0, "begins"], "soon", "licences[0].begins"),
        (["licences", 0, "begins"], {}, "licences[0].begins"),
        (["licences", 0, "copies"], -1, "licences[0].copies"),
        (["licences", 0, "copies"], True, "licences[0].copies"),
        (["licences", 0, "copies"], 1.5, "licences[0].copies"),
        (["licences", 1, "id"], "mill", "licences[1].id"),
        (["pictures", "p1", "people", 0, "minor"], "no", "pictures.p1.people[0].minor"),
        (["pictures", "p1", "people", 0, "release", "from"], "soon", "pictures.p1.people[0].release.from"),
        (["pictures", "p1", "people", 0, "release", "media"], ["fax"], "pictures.p1.people[0].release.media[0]"),
        (["pictures", "p1", "properties"], [{"id": "room", "minor": False}], "pictures.p1.properties[0].minor"),
        (["pictures", "p1", "selling_on"], "maybe", "pictures.p1.selling_on"),
        (["pictures", "p1", "selling_on"], {}, "pictures.p1.selling_on"),
        (["pictures", "p1", "selling_on"], {"after": None}, "pictures.p1.selling_on.after"),
        (["questions", 0, "use"], USE, "questions[0].use"),
        (["questions", 1, "id"], "q1", "questions[1].id"),
        (["questions", 1, "ask"], "weather", "questions[1].ask"),
        (["questions", 1, "use", "until"], ..., "questions[1].use.until"),
        (["questions", 1, "use", "until"], "2026-12-01", "questions[1].use.until"),
        (["questions", 1, "use", "media", 0], "fax", "questions[1].use.media[0]"),
        (["questions", 3, "wish", "months"], ..., "questions[3].wish.months"),
        (["questions", 3, "wish", "months"], 0, "questions[3].wish.months"),
        (["questions", 3, "wish", "from"], "9999-12-01", "questions[3].wish.months"),
        (["questions", 3, "wish", "exclusivity", "months"], 0, "questions[3].wish.exclusivity.months"),
        (["trees"], {"media": {"a": {"parent": "b"}}}, "trees.media.a"),
        (["trees"], {"media": {"a": {"exhaustive": 1}}}, "trees.media.a.exhaustive"),
        (["trees"], {"media": []}, "trees.media"),
        (["trees"], {"animals": {}}, "trees.animals"),
    ],
)
def test_bad_input_is_refused_with_the_path_of_the_faulty_value(where, value, path):
    with pytest.raises(InvalidScenario) as refusal:
        answer_scenario(broken(where, value))
    assert refusal.value.path == path


@pytest.mark.parametrize("data", [None, [], "text", 7])
def test_a_file_that_is_no_object_is_refused(data):
    with pytest.raises(InvalidScenario) as refusal:
        answer_scenario(data)
    assert str(refusal.value).startswith("the file: ")
