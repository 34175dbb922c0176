import pytest

from shoots.plan.lexicon import InvalidLexicon, find_actions, read_cues, read_lexicon, with_own_words
from shoots.plan.queries import kitchen_lexicon
from tests.shoots.plan.sentences import SENTENCES


def actions_in(text):
    return [found.action_id for found in find_actions(text, kitchen_lexicon())]


@pytest.mark.parametrize(
    ("step", "actions"),
    [
        ("Knead for 10 minutes, then cover and leave to rise.", ["knead", "cover", "rest"]),
        ("In a wide bowl whisk the eggs.", ["whisk"]),
        ("Cook the leeks, stirring now and then.", ["cook", "stir"]),
        ("Slowly pour in the stock.", ["pour"]),
        ("Reduce to a simmer.", ["simmer"]),
        ("Until the butter melts.", ["melt"]),
        ("Remove the lid and sprinkle with parsley.", ["uncover", "sprinkle"]),
        ("Bring the stew back to the boil.", ["boil"]),
        ("Put the boats in the oven.", ["bake"]),
        ("Use a blowtorch to brown the sugar.", ["torch"]),
    ],
)
def test_verbs_are_found_where_verbs_stand(step, actions):
    assert actions_in(step) == actions


@pytest.mark.parametrize(
    "step",
    [
        "Chopped onion and grated cheese.",
        "On medium heat.",
        "A gentle simmer.",
        "The plate, the frying pan, a baking sheet and boiling water.",
        "Do not stir.",
        "Never boil it, and without stirring.",
        "Reduce the heat.",
        "Salt to taste.",
        "With flour, salt and butter.",
        "If you cook more than this.",
        "",
    ],
)
def test_nouns_participles_and_what_is_forbidden_are_no_actions(step):
    assert actions_in(step) == []


@pytest.mark.parametrize("step", SENTENCES)
def test_a_sentence_is_read_as_a_cook_reads_it(step):
    assert actions_in(step) == SENTENCES[step].split()


def test_an_action_counts_once_a_step_and_carries_its_clause():
    first, second = find_actions("Separate the eggs and drop a yolk into each boat. Add salt.", kitchen_lexicon())
    assert (first.action_id, first.clause) == ("separate", "Separate the eggs")
    assert (second.action_id, second.clause) == ("add", "drop a yolk into each boat")


def test_the_studios_own_words_are_found_like_the_others():
    lexicon = with_own_words(kitchen_lexicon(), {"toss": ["tumble"]})
    assert [found.action_id for found in find_actions("Tumble the beans.", lexicon)] == ["toss"]
    assert actions_in("Tumble the beans.") == []


def test_a_word_for_an_unknown_action_is_refused():
    with pytest.raises(KeyError):
        with_own_words(kitchen_lexicon(), {"juggle": ["juggle"]})


@pytest.mark.parametrize(
    "row",
    [
        {},
        {"id": "pour"},
        {"id": "pour", "words": ["pour"], "visible": "", "repeat": "twice", "moment_s": 1, "hazards": [], "angle": "", "distance": "", "motion": "", "light": "", "cues": [], "prepare": [], "interest": 1},
    ],
)  # fmt: skip
def test_a_faulty_row_is_refused(row):
    with pytest.raises(InvalidLexicon):
        read_lexicon({"action": [row]})


def test_a_cue_must_have_a_word_in_every_language():
    with pytest.raises(InvalidLexicon, match="wait"):
        read_cues({"languages": ["en", "de"], "cue": [{"id": "wait", "meaning": "", "en": "wait"}]})
