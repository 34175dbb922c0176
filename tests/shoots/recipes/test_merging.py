import pytest

from shoots.recipes.merging import MomentWords, merged, parts_of, parts_suggested

LID = MomentWords("Lift the lid", repeat="free", peak_seconds=6, hazards=("steam",), cues=("wait",), angle="level", note="from the back", interest=5)  # fmt: skip
POUR = MomentWords("Pour the broth", repeat="keep", peak_seconds=2, hazards=("hot liquid", "steam"), cues=("slow",), angle="overhead", light="back", interest=3)  # fmt: skip


def test_two_moments_become_one_that_is_as_strict_as_either():
    one = merged(LID, POUR)
    assert one.what == "Lift the lid, then pour the broth"
    assert (one.repeat, one.peak_seconds, one.interest) == ("keep", 2, 5)
    assert (one.hazards, one.cues) == (("steam", "hot liquid"), ("wait", "slow"))
    assert (one.angle, one.light, one.note) == ("level", "back", "from the back")
    assert merged(POUR, LID).repeat == "keep"


def test_a_peak_nobody_named_stays_unnamed():
    assert merged(MomentWords("a"), MomentWords("b")).peak_seconds is None


def test_words_that_grow_too_long_are_cut_with_a_mark():
    assert merged(MomentWords("a" * 150), MomentWords("b" * 150)).what.endswith(" …")
    assert len(merged(MomentWords("a" * 150), MomentWords("b" * 150)).what) <= 200


def test_one_moment_becomes_two_that_say_the_same():
    first, second = parts_of(LID, "Grip the lid", "lift it")
    assert (first.what, second.what, second.hazards) == ("Grip the lid", "Lift it", ("steam",))


@pytest.mark.parametrize(
    ("what", "parts"),
    [
        ("Lift the lid, then pour the broth", ("Lift the lid", "Pour the broth")),
        ("Lift and pour", ("Lift", "Pour")),
        ("Lift; pour", ("Lift", "Pour")),
        ("Lift the lid", ("Lift the lid", "")),
        ("", ("", "")),
    ],
)
def test_the_place_to_part_is_suggested(what, parts):
    assert parts_suggested(what) == parts
