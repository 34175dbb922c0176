import pytest

from shoots.plan.titles import tell_apart, title_of


@pytest.mark.parametrize(
    ("clause", "title"),
    [
        ("pour it in", "Pour it in"),
        ("then fry the onions", "Fry the onions"),
        ("Trim the leeks and", "Trim the leeks"),
        ("SPRINKLE WITH PARSLEY", "Sprinkle with parsley"),
        ("fold cabbage into batter with as few folds as possible to completely …", "Fold cabbage into batter with as few folds as possible"),
        ("beat it with a meat mallet (or a rolling pin) to a thickness of …", "Beat it with a meat mallet (or a rolling pin)"),
        ("beating the mixture until soft peaks form when lifting the beater (approx 12 …", "Beating the mixture until soft peaks form"),
        ("turn it over", "Turn it over"),
        ("cut", "Cut"),
        ("", ""),
    ],
)  # fmt: skip
def test_a_title_is_whole_and_begins_with_a_capital(clause, title):
    assert title_of(clause) == title


def test_a_long_clause_ends_at_a_phrase():
    title = title_of(
        "stir the sauce slowly over a gentle heat in the widest pan there is until it coats the back of a spoon"
    )
    assert title == "Stir the sauce slowly over a gentle heat"


def test_a_lone_verb_is_followed_by_what_is_to_be_seen():
    assert title_of("dice", "knife passes through; the cut face opens") == "Dice: knife passes through"
    assert title_of("Stir well", "spoon draws a trail") == "Stir well"


def test_titles_are_told_apart_from_each_other_and_from_those_there_are():
    assert tell_apart(["Flip it", "flip it", "Flip it"]) == ["Flip it", "flip it, second time", "Flip it, third time"]
    assert tell_apart(["Flip it"], ["FLIP IT", "Flip it, second time"]) == ["Flip it, third time"]
    assert tell_apart(["Flip it, second time"], ["Flip it", "Flip it, second time"]) == ["Flip it, third time"]
    assert tell_apart(["A"] * 10)[-1] == "A, time 10"
