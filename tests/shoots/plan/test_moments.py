import pytest

from shoots.plan.moments import HOW_OFTEN, draft_moments, hazards_of, moment_of, steps_without_moments, worth_a_picture
from shoots.plan.queries import cue_words, kitchen_lexicon
from shoots.plan.recipe import read_recipe
from shoots.plan.steps import read_step
from studio.demo.recipes import BEAN_STEW, BREAD_BOAT, RECIPES


def moments_of(text):
    return draft_moments(read_recipe(text).steps, kitchen_lexicon())


def test_a_moment_says_what_is_seen_how_long_and_how_often():
    lid = next(moment for moment in moments_of(BEAN_STEW) if moment.action_id == "uncover")
    assert (lid.step_number, lid.clause, lid.visible) == (
        7,
        "Lift the lid at the table",
        "lid comes off, steam rolls out",
    )
    assert (lid.repeat, lid.peak_seconds, lid.hazards, lid.cues) == (
        "free",
        2,
        ("steam",),
        ("wait", "lid_off", "again"),
    )
    assert (lid.angle, lid.light, lid.interest, lid.is_once_only) == ("level", "back, dark ground", 5, False)


def test_moments_come_in_the_order_of_the_steps():
    assert [moment.action_id for moment in moments_of(BREAD_BOAT)] == [
        "dust", "stir", "pour", "knead", "cover", "rest", "mix", "shape", "roll", "roll", "wrap", "fill", "bake", "separate", "add", "bake", "add",
        "plate", "tear", "stir",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("step", "peaks"),
    [
        ("Bake for 12 minutes, until the rim is golden and the cheese bubbles.", ["until the rim is golden and the cheese bubbles"]),
        ("Whisk until stiff peaks form, then fold in the sugar until glossy.", ["until stiff peaks form", "until glossy"]),
        ("Fry the leeks until soft and add the rice.", ["until soft", ""]),
        ("Heat the butter until it melts.", ["until it melts", ""]),
        ("Knead the dough. Leave it until doubled.", [""]),
        ("Until then, stir.", [""]),
    ],
)  # fmt: skip
def test_what_a_step_waits_for_is_the_peak_of_its_moment(step, peaks):
    moments = draft_moments([read_step(1, step)], kitchen_lexicon())
    assert [moment.peak for moment in moments] == peaks
    assert all(moment.note.startswith(moment.peak) for moment in moments)


def test_a_change_that_is_waited_for_carries_its_words():
    moments = draft_moments(
        [read_step(1, "Heat the butter until it melts. Simmer (gently) until reduced by half.")], kitchen_lexicon()
    )
    assert [moment.clause for moment in moments] == [
        "Heat the butter",
        "until it melts",
        "Simmer (gently)",
        "until reduced by half",
    ]


def test_a_step_in_another_language_gives_no_moments():
    steps = [read_step(1, "Mix the rest.", language="fr"), read_step(2, "Mix the rest.")]
    assert [moment.step_number for moment in draft_moments(steps, kitchen_lexicon())] == [2]


def test_baking_is_a_moment_that_comes_once():
    assert [moment.step_number for moment in moments_of(BREAD_BOAT) if moment.is_once_only] == [7, 8]


def test_at_most_two_moments_a_step_are_worth_a_picture():
    chosen = worth_a_picture(moments_of(BREAD_BOAT))
    assert [(moment.step_number, moment.action_id) for moment in chosen] == [
        (1, "dust"), (1, "pour"), (2, "knead"), (5, "wrap"), (8, "separate"), (9, "plate"), (9, "tear"),
    ]  # fmt: skip


def test_steps_in_which_nothing_is_recognised_are_shown():
    steps = read_recipe("Soup\nMethod\nBoil the water.\nEnjoy it.").steps
    assert [step.number for step in steps_without_moments(steps, draft_moments(steps, kitchen_lexicon()))] == [2]


def test_a_moment_can_be_chosen_from_the_list_by_hand():
    assert moment_of("flambe", 4, kitchen_lexicon()).step_number == 4
    with pytest.raises(KeyError):
        moment_of("juggle", 4, kitchen_lexicon())


def test_hazards_are_named_once():
    assert hazards_of(moments_of(BEAN_STEW)).count("steam") == 1


@pytest.mark.parametrize("text", RECIPES.values(), ids=RECIPES.keys())
def test_every_moment_uses_the_closed_list_of_cues_and_says_how_often(text):
    for moment in moments_of(text):
        assert set(moment.cues) <= set(cue_words())
        assert moment.repeat in HOW_OFTEN
