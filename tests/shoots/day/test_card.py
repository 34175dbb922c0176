import pytest

from shoots.day.card import card_of, cue_lines, sentence


@pytest.mark.parametrize(
    ("words", "said"), [("", ""), ("  ", ""), ("hot oil", "Hot oil."), ("Stop!", "Stop!"), ("étuve", "Étuve.")]
)
def test_a_sentence_has_a_capital_and_an_end(words, said):
    assert sentence(words) == said


def test_few_cues_stand_on_lines_of_their_own():
    assert cue_lines(["wait", "lid off"], "long") == "Wait.\nLid off."
    assert cue_lines(["wait", "now", "stop"], "many") == "Wait. Now. Stop."


def test_a_card_says_what_there_is_and_nothing_else():
    card = card_of(
        title="Lift the lid", cues=["wait"], also=["warten"], also_language="de", angle="level", light="back"
    )
    assert (card.head, card.cue, card.size, card.also) == ("Of the day.", "Wait.", "short", "Warten.")
    assert card.how == "Level. Light back."
    assert card.hazard == card.note == card.keep_back == card.often == ""
    full = card_of(
        title="Lift", dish="Bean stew", planned="12:40", keep_back="two pots", distance="tight", props="linen"
    )
    assert (full.head, full.keep_back) == ("Bean stew, 12:40.", "Hold back and have ready: two pots")
    assert full.how == "Tight. Props: linen."
