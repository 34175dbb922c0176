from collections import Counter
from dataclasses import replace
from datetime import date
from random import Random

import pytest

from shoots.releases.clearance import (
    Clearance,
    Recognisable,
    ReleaseTerms,
    Subject,
    Verdict,
    clear,
    contains,
    release_status,
)
from shoots.uses.intended import Use

EDITORIAL = Use(
    classes=frozenset({"editorial"}),
    media=frozenset({"print.editorial"}),
    territories=frozenset({"DE"}),
    use_from=date(2027, 3, 1),
    use_until=date(2028, 3, 1),
)
OWN = replace(EDITORIAL, classes=frozenset({"advertising"}), media=frozenset({"web.own", "web.social"}))
SIGNED = ReleaseTerms(is_signed=True)
COOK = Subject(id="cook", releases=(SIGNED,))
ROOM = Subject(id="room", releases=(SIGNED,))
LIMITED = replace(SIGNED, media=frozenset({"web"}))


def asked(use=OWN, people=(COOK,), properties=(), licensee="Walnut Lantern"):
    return clear(use, licensee=licensee, people=people, properties=properties)


def test_everybody_and_everything_released_is_cleared():
    assert asked(properties=(ROOM,)) == Clearance(Verdict.CLEARED, (), "MR-UMR", "PR-UPR")


def test_nobody_and_nothing_recognisable_is_cleared():
    assert asked(people=(), properties=()) == Clearance(Verdict.CLEARED, (), "MR-NAP", "PR-NAP")


MINOR = Subject(id="kid", releases=(SIGNED,), is_minor=True)


@pytest.mark.parametrize(
    ("people", "note", "editorial", "other"),
    [
        ((COOK,), (), "cleared", "cleared"),
        ((replace(COOK, releases=()),), ("MISSING:cook",), "cleared_with_note", "not_cleared"),
        (
            (replace(COOK, releases=(replace(SIGNED, is_signed=False),)),),
            ("MISSING:cook",),
            "cleared_with_note",
            "not_cleared",
        ),
        (
            (replace(COOK, releases=(replace(SIGNED, territories=frozenset({"AT"})),)),),
            ("SCOPE:cook",),
            "cleared_with_note",
            "not_cleared",
        ),
        (None, ("NOT_ASSESSED:people",), "not_cleared", "not_cleared"),
        (
            (replace(COOK, releases=(replace(SIGNED, is_withdrawn=True),)),),
            ("WITHDRAWN:cook",),
            "not_cleared",
            "not_cleared",
        ),
        ((MINOR,), ("GUARDIAN:kid",), "not_cleared", "not_cleared"),
        ((replace(MINOR, releases=(replace(SIGNED, has_guardian_signed=True),)),), (), "cleared", "cleared"),
        ((replace(COOK, recognisable=Recognisable.NO, releases=()),), (), "cleared", "cleared"),
        (
            (replace(COOK, recognisable=Recognisable.ASK),),
            ("NOT_ASSESSED:cook",),
            "not_cleared",
            "not_cleared",
        ),
    ],
)
@pytest.mark.parametrize("question", ["people", "properties"])
def test_what_is_found_clears_editorial_use_with_a_note_at_most_and_no_advertising_or_stock(
    people, note, editorial, other, question
):
    subjects = {"people": (), "properties": (), question: people}
    notes = tuple(each.replace("people", question) for each in note)
    for classes, verdict in (
        ({"editorial"}, editorial),
        ({"advertising"}, other),
        ({"stock"}, other),
        ({"editorial", "stock"}, other),
    ):
        answer = asked(replace(EDITORIAL, classes=frozenset(classes)), **subjects)
        assert (answer.verdict, answer.notes) == (verdict, notes)


def test_a_minor_without_any_release_lacks_the_guardian_s_signature_too():
    answer = asked(EDITORIAL, people=(replace(MINOR, releases=()),))
    assert answer.verdict is Verdict.NOT_CLEARED
    assert answer.notes == ("GUARDIAN:kid", "MISSING:kid")


def test_every_note_is_told_sorted():
    answer = asked(people=(Subject(id="b", releases=()), Subject(id="a", releases=())), properties=None)
    assert answer.notes == ("MISSING:a", "MISSING:b", "NOT_ASSESSED:properties")


@pytest.mark.parametrize(
    ("limit", "inside"),
    [
        ({}, True),
        ({"classes": frozenset({"advertising", "editorial"})}, True),
        ({"classes": frozenset({"editorial"})}, False),
        ({"media": frozenset({"web"})}, True),
        ({"media": frozenset({"web.own"})}, False),
        ({"territories": frozenset({"europe"})}, True),
        ({"territories": frozenset({"AT"})}, False),
        ({"use_from": date(2027, 3, 1)}, True),
        ({"use_from": date(2027, 3, 2)}, False),
        ({"use_until": date(2028, 3, 1)}, True),
        ({"use_until": date(2028, 2, 29)}, False),
        ({"own_promotion_of": "Walnut Lantern"}, True),
        ({"own_promotion_of": "Kvernmoor Mill"}, False),
    ],
)
def test_the_limits_of_a_release_hold_a_use_or_do_not(limit, inside):
    release = replace(SIGNED, **limit)
    assert contains(release, OWN, licensee="Walnut Lantern") is inside
    assert release.is_limited is bool(limit)


def test_a_release_for_own_promotion_holds_no_bought_medium():
    release = replace(SIGNED, own_promotion_of="Walnut Lantern")
    bought = replace(OWN, media=frozenset({"web.own", "web.display"}))
    assert not contains(release, bought, licensee="Walnut Lantern")


def test_a_perpetual_use_is_outside_a_release_that_ends():
    assert not contains(
        replace(SIGNED, use_until=date(2099, 1, 1)), replace(OWN, use_until=None), licensee="Walnut Lantern"
    )


@pytest.mark.parametrize(
    ("subjects", "word"),
    [
        (None, None),
        ((), "NAP"),
        ((COOK,), "U"),
        ((COOK, replace(COOK, id="hand", releases=(LIMITED,))), "L"),
        ((COOK, replace(COOK, id="hand", releases=())), "L"),
        ((replace(COOK, releases=()),), "NON"),
        ((replace(COOK, releases=(replace(SIGNED, is_signed=False),)),), "NON"),
        ((replace(COOK, releases=(replace(SIGNED, is_withdrawn=True),)),), "NON"),
        ((MINOR,), "NON"),
        ((MINOR, COOK), "L"),
        ((replace(COOK, releases=(replace(SIGNED, own_promotion_of="Walnut Lantern"),)),), "L"),
        ((replace(COOK, recognisable=Recognisable.NO, releases=()),), "NAP"),
        ((replace(COOK, recognisable=Recognisable.ASK),), None),
    ],
)
@pytest.mark.parametrize(("prefix", "letters"), [("MR", "MR"), ("PR", "PR")])
def test_the_status_word_for_the_file(subjects, word, prefix, letters):
    wanted = None if word is None else f"{prefix}-{word}{letters if len(word) == 1 else ''}"
    assert release_status(subjects, prefix=prefix) == wanted


def slow_verdict(subjects, editorial_only):
    """The table read row by row, worst first; a list for each question, None not assessed. Written apart from the engine."""
    worst = "cleared"
    for question in subjects:
        if question is None:
            return "not_cleared"
        for subject in question:
            release = subject.release
            if subject.is_minor and (release is None or not release.has_guardian_signed):
                return "not_cleared"
            if release is not None and release.is_withdrawn:
                return "not_cleared"
            outside = release is not None and release.own_promotion_of == "Kvernmoor Mill"
            if release is None or not release.is_signed or outside:
                if not editorial_only:
                    return "not_cleared"
                worst = "cleared_with_note"
    return worst


def test_clearance_is_what_the_table_says_and_each_verdict_and_note_occurs():
    rng = Random(8)
    counts = Counter()

    def subject(name):
        release = ReleaseTerms(
            is_signed=rng.random() < 0.9,
            is_withdrawn=rng.random() < 0.1,
            has_guardian_signed=rng.random() < 0.7,
            own_promotion_of=rng.choice([None, None, "Walnut Lantern", "Kvernmoor Mill"]),
        )
        return Subject(id=name, release=rng.choice([release, release, None]), is_minor=rng.random() < 0.2)

    for _ in range(2000):
        lists = [
            rng.choice([None, (), *[tuple(subject(f"{kind}{each}") for each in range(rng.randint(1, 2)))] * 8])
            for kind in ("person", "thing")
        ]
        classes = rng.choice([{"editorial"}, {"editorial"}, {"stock"}, {"editorial", "advertising"}])
        use = replace(OWN, classes=frozenset(classes))
        answer = clear(use, licensee="Walnut Lantern", people=lists[0], properties=lists[1])
        assert answer.verdict == slow_verdict(lists, classes == {"editorial"})
        counts[answer.verdict] += 1
        counts.update(note.partition(":")[0] for note in answer.notes)
        counts.update(word for word in (answer.model_release, answer.property_release) if word)
    words = {f"{p}-{w}" for p, w in (("MR", "UMR"), ("MR", "LMR"), ("PR", "UPR"), ("PR", "LPR"))}
    words |= {f"{p}-{w}" for p in ("MR", "PR") for w in ("NAP", "NON")}
    wanted = {*Verdict, "MISSING", "SCOPE", "NOT_ASSESSED", "WITHDRAWN", "GUARDIAN", *words}
    assert set(counts) == wanted
    assert min(counts.values()) > 10, counts
