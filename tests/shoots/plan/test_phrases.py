import pytest

from shoots.plan.lexicon import find_actions
from shoots.plan.phrases import PHRASES
from shoots.plan.queries import kitchen_lexicon
from tests.shoots.plan.sentences import SENTENCES


@pytest.mark.parametrize(
    "phrase", PHRASES, ids=lambda phrase: f"{phrase.action_id or 'none'}: {phrase.pattern.pattern[:40]}"
)
def test_a_phrase_is_met_in_a_sentence_that_holds_one_of_its_heads(phrase):
    """The heads only spare a search: a sentence that matches must always hold one, or the phrase would be passed over."""
    met = [text.lower() for text in SENTENCES if phrase.pattern.search(text.lower())]
    assert met
    for text in met:
        assert not phrase.heads.isdisjoint(text.replace(",", " ").replace(".", " ").replace(";", " ").split())


def test_a_phrase_names_an_action_of_the_lexicon_or_none():
    known = {action.id for action in kitchen_lexicon().actions}
    assert {phrase.action_id for phrase in PHRASES if phrase.action_id} <= known


def test_a_phrase_that_is_forbidden_is_none():
    assert find_actions("Do not put it in the oven.", kitchen_lexicon()) == ()
