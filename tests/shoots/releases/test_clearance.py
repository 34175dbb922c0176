from collections import Counter
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
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
from shoots.uses.shipped import IN_FORCE

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


DAY = datetime(2027, 1, 1, tzinfo=UTC)
NARROW = replace(SIGNED, media=frozenset({"print"}), signed_at=DAY + timedelta(days=9))
WIDE = replace(SIGNED, signed_at=DAY)
GONE = replace(SIGNED, is_withdrawn=True, signed_at=DAY - timedelta(days=9))


def cook(*releases):
    return replace(COOK, releases=releases)


@pytest.mark.parametrize("releases", [(WIDE, NARROW), (NARROW, WIDE)])
def test_any_one_release_that_holds_the_use_speaks_and_a_narrow_one_takes_nothing_back(releases):
    assert asked(people=[cook(*releases)]) == Clearance(Verdict.CLEARED, (), "MR-UMR", "PR-NAP")


def test_two_narrow_releases_are_never_added_up():
    one, other = (replace(SIGNED, media=frozenset({code})) for code in ("web.own", "web.social"))
    answer = asked(people=[cook(one, other)])
    assert (answer.verdict, answer.notes, answer.model_release) == (Verdict.NOT_CLEARED, ("SCOPE:cook",), "MR-LMR")
    assert asked(replace(OWN, media=frozenset({"web.own"})), people=[cook(one, other)]).verdict is Verdict.CLEARED


@pytest.mark.parametrize(
    ("withdrawn_at", "signed_at", "verdict"),
    [
        (DAY + timedelta(days=1), DAY, Verdict.NOT_CLEARED),  # an older one withdrawn after a newer was signed
        (DAY, DAY + timedelta(days=1), Verdict.CLEARED),  # asked anew, signed again
        (DAY, DAY, Verdict.NOT_CLEARED),  # in the same moment: the safe side
        (None, DAY, Verdict.NOT_CLEARED),  # a moment nobody knows
        (DAY, None, Verdict.NOT_CLEARED),
    ],
)
@pytest.mark.parametrize("order", [1, -1])
def test_what_was_signed_before_a_withdrawal_counts_no_more(withdrawn_at, signed_at, verdict, order):
    releases = (replace(GONE, withdrawn_at=withdrawn_at), replace(WIDE, signed_at=signed_at))[::order]
    answer = asked(EDITORIAL, people=[cook(*releases)])
    assert answer.verdict is verdict
    assert answer.notes == (() if verdict is Verdict.CLEARED else ("WITHDRAWN:cook",))
    assert answer.model_release == ("MR-UMR" if verdict is Verdict.CLEARED else "MR-NON")


def test_of_somebody_under_age_only_the_release_a_guardian_signed_counts():
    by_guardian = replace(NARROW, has_guardian_signed=True)
    kid = replace(MINOR, releases=(WIDE, by_guardian))
    assert asked(people=[kid]).notes == ("SCOPE:kid",)
    assert asked(people=[kid]).model_release == "MR-LMR"
    assert asked(replace(OWN, media=frozenset({"print.ad"})), people=[kid]).verdict is Verdict.CLEARED


def slow_findings(subject, use):
    """What happened to a subject, told in the order of days: signing adds, withdrawing clears the table. Written apart from the engine."""
    told = [(release.signed_at, "signed", release) for release in subject.releases if release.is_signed]
    told += [(release.withdrawn_at, "withdrawn", release) for release in subject.releases if release.is_withdrawn]
    on_the_table, was_withdrawn, ever = [], False, []
    for _day, deed, release in sorted(told, key=lambda each: each[0]):
        if deed == "withdrawn":
            on_the_table, was_withdrawn = [], True
        else:
            ever.append(release)
            if not release.is_withdrawn:
                on_the_table.append(release)
                was_withdrawn = False
    if was_withdrawn:
        return "withdrawn"
    if not ever:
        by_guardian = any(release.has_guardian_signed for release in subject.releases)
        return "no guardian" if subject.is_minor and not by_guardian else "missing"
    if subject.is_minor:
        on_the_table = [release for release in on_the_table if release.has_guardian_signed]
        if not on_the_table:
            return "no guardian"
    fits = [release for release in on_the_table if release.own_promotion_of != "Kvernmoor Mill"]
    fits = [release for release in fits if not release.use_until or release.use_until >= use.use_until]
    return "fine" if fits else "outside"


def slow_verdict(subjects, use):
    """The table read row by row, worst first; a list for each question, None not assessed."""
    found = [slow_findings(subject, use) for question in subjects if question is not None for subject in question]
    if None in subjects or {"withdrawn", "no guardian"} & set(found):
        return "not_cleared"
    if {"missing", "outside"} & set(found):
        return "cleared_with_note" if use.classes == {"editorial"} else "not_cleared"
    return "cleared"


def test_clearance_is_what_the_table_says_and_each_verdict_and_note_occurs():
    rng = Random(8)
    counts = Counter()

    def release(days):
        signed, withdrawn = sorted((days.pop(), days.pop()))
        return ReleaseTerms(
            is_signed=(is_signed := rng.random() < 0.9),
            is_withdrawn=is_signed and rng.random() < 0.15,
            has_guardian_signed=rng.random() < 0.7,
            own_promotion_of=rng.choice([None, None, "Walnut Lantern", "Kvernmoor Mill"]),
            use_until=rng.choice([None, None, None, date(2028, 3, 1), date(2028, 2, 29)]),
            signed_at=DAY + timedelta(days=signed),
            withdrawn_at=DAY + timedelta(days=withdrawn),
        )

    def subject(name):
        days = rng.sample(range(60), 6)  # no two things on one day
        releases = tuple(release(days) for _ in range(rng.choice([0, 1, 1, 2, 3])))
        return Subject(id=name, releases=releases, is_minor=rng.random() < 0.2)

    for _ in range(2000):
        lists = [
            rng.choice([None, (), *[tuple(subject(f"{kind}{each}") for each in range(rng.randint(1, 2)))] * 8])
            for kind in ("person", "thing")
        ]
        classes = rng.choice([{"editorial"}, {"editorial"}, {"stock"}, {"editorial", "advertising"}])
        use = replace(OWN, classes=frozenset(classes))
        answer = clear(use, licensee="Walnut Lantern", people=lists[0], properties=lists[1])
        assert answer.verdict == slow_verdict(lists, use)
        counts[answer.verdict] += 1
        several = [each for each in (*(lists[0] or ()), *(lists[1] or ())) if len(each.releases) > 1]
        counts["several releases, cleared"] += bool(several) and answer.verdict is Verdict.CLEARED
        counts.update(note.partition(":")[0] for note in answer.notes)
        counts.update(word for word in (answer.model_release, answer.property_release) if word)
    words = {f"{p}-{w}" for p, w in (("MR", "UMR"), ("MR", "LMR"), ("PR", "UPR"), ("PR", "LPR"))}
    words |= {f"{p}-{w}" for p in ("MR", "PR") for w in ("NAP", "NON")}
    wanted = {
        *Verdict,
        "several releases, cleared",
        "MISSING",
        "SCOPE",
        "NOT_ASSESSED",
        "WITHDRAWN",
        "GUARDIAN",
        *words,
    }
    assert set(counts) == wanted
    assert min(counts.values()) > 10, counts


def slow_leaves(tree, code):
    """The leaves below a code, found by walking from parents to children; the rest of X, which is not wholly listed, is a leaf too."""
    below = [child for child, node in tree.nodes.items() if node.parent == code]
    rest = {f"{code}, the rest"} if below and not tree.nodes[code].exhaustive else set()
    return rest.union(*(slow_leaves(tree, child) for child in below)) if below else {code}


def slow_cells(classes, media, territories, first, until):
    """Limits as single cells, leaf by leaf and day by day of one week; an empty set, or None, is everything."""
    week = [date(2027, 3, 1) + timedelta(days=each) for each in range(7)]
    return {
        (each, medium, place, day)
        for each in classes or {"editorial", "advertising", "stock"}
        for medium in set().union(*(LEAVES["media"][code] for code in media or {"all"}))
        for place in set().union(*(LEAVES["territories"][code] for code in territories or {"world"}))
        for day in week
        if (first is None or day >= first) and (until is None or day < until)
    }


LEAVES = {
    "media": {code: slow_leaves(IN_FORCE.media, code) for code in ("all", "web", "web.own", "web.social", "print", "print.ad", "press")},
    "territories": {
        code: slow_leaves(IN_FORCE.territories, code) for code in ("world", "europe", "south_america", "DE", "AT", "AR")
    },
}  # fmt: skip


def test_a_release_holds_a_use_when_it_holds_each_of_its_cells_and_each_limit_stops_some():
    rng = Random(27)
    counts = Counter()

    def some(values, most=2):
        return frozenset(rng.sample(sorted(values), rng.randint(1, most)))

    narrow_media, narrow_places = set(LEAVES["media"]) - {"all", "web", "print"}, {"DE", "AT", "AR"}
    for _ in range(600):
        first = date(2027, 3, 1) + timedelta(days=rng.randint(0, 3))
        until = first + timedelta(days=rng.randint(1, 3))
        use = Use(
            classes=some({"editorial", "advertising", "stock"}), media=some(narrow_media), territories=some(narrow_places),
            use_from=first, use_until=until,
        )  # fmt: skip
        limits = {
            "classes": rng.choice([frozenset(), use.classes, some({"editorial", "advertising", "stock"}, 3)]),
            "media": rng.choice([frozenset(), some(LEAVES["media"], 4), use.media | {"print"}]),
            "territories": rng.choice([frozenset(), some(LEAVES["territories"], 3), use.territories]),
            "use_from": rng.choice([None, None, date(2027, 3, rng.randint(1, 4))]),
            "use_until": rng.choice([None, None, date(2027, 3, rng.randint(4, 7))]),
        }
        wanted = slow_cells(use.classes, use.media, use.territories, use.use_from, use.use_until)
        assert wanted
        held = slow_cells(*limits.values())
        answer = contains(replace(SIGNED, **limits), use, licensee="Walnut Lantern")
        assert answer is (wanted <= held), (use, limits)
        counts[answer] += 1
        if not answer:
            lifted = [
                n
                for n in limits
                if contains(
                    replace(SIGNED, **limits | {n: type(limits[n])() if isinstance(limits[n], frozenset) else None}),
                    use,
                    licensee="x",
                )
            ]
            counts.update(lifted)  # the one limit without which it would be held
    assert set(counts) == {True, False, "classes", "media", "territories", "use_from", "use_until"}
    assert min(counts.values()) > 10, counts


EVERY_KIND_OF_USE = [{"editorial"}, {"advertising"}, {"stock"}, {"editorial", "advertising"}, {"editorial", "stock"}, {"advertising", "stock"}, {"editorial", "advertising", "stock"}]  # fmt: skip
WAYS = {
    "all released": (COOK, "", "cleared"),
    "missing": (replace(COOK, releases=()), "MISSING:cook", "cleared_with_note"),
    "signed by nobody yet": (replace(COOK, releases=(ReleaseTerms(is_signed=False),)), "MISSING:cook", "cleared_with_note"),
    "outside its classes": (cook(replace(SIGNED, classes=frozenset({"nothing"}))), "SCOPE:cook", "cleared_with_note"),
    "outside its media": (cook(replace(SIGNED, media=frozenset({"press"}))), "SCOPE:cook", "cleared_with_note"),
    "outside its territory": (cook(replace(SIGNED, territories=frozenset({"AT"}))), "SCOPE:cook", "cleared_with_note"),
    "outside its days": (cook(replace(SIGNED, use_until=date(2027, 6, 1))), "SCOPE:cook", "cleared_with_note"),
    "another house's own promotion": (cook(replace(SIGNED, own_promotion_of="Kvernmoor Mill")), "SCOPE:cook", "cleared_with_note"),
    "not assessed": (None, "NOT_ASSESSED:people", "not_cleared"),
    "still to ask": (replace(COOK, recognisable=Recognisable.ASK), "NOT_ASSESSED:cook", "not_cleared"),
    "withdrawn": (cook(replace(SIGNED, is_withdrawn=True)), "WITHDRAWN:cook", "not_cleared"),
    "a minor who signed alone": (replace(COOK, is_minor=True), "GUARDIAN:cook", "not_cleared"),
    "a minor with a guardian": (replace(COOK, is_minor=True, releases=(replace(SIGNED, has_guardian_signed=True),)), "", "cleared"),
}  # fmt: skip


@pytest.mark.parametrize("found", WAYS)
@pytest.mark.parametrize("classes", EVERY_KIND_OF_USE, ids=lambda each: "+".join(sorted(each)))
def test_every_cell_of_the_table(found, classes):
    who, note, editorial = WAYS[found]
    answer = asked(replace(EDITORIAL, classes=frozenset(classes)), people=None if who is None else (who,))
    passes = editorial == "cleared" or classes == {"editorial"}
    assert (answer.verdict, answer.notes) == (editorial if passes else "not_cleared", (note,) if note else ())


def test_one_bad_one_among_good_ones_decides():
    for found, (who, note, editorial) in WAYS.items():
        if who is not None and note:
            assert asked(EDITORIAL, people=(SIGNER, who)).verdict == editorial, found


SIGNER = Subject(id="hand", releases=(SIGNED,))


def test_the_house_writes_no_age_of_anybody():
    words = {
        release_status((replace(COOK, is_minor=True, releases=releases),), prefix="MR")
        for releases in ((), (SIGNED,), (replace(SIGNED, has_guardian_signed=True),))
    }
    assert words == {"MR-NON", "MR-UMR"}  # no AG- code: those only where the studio asks for them in a delivery
