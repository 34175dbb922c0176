from shared.errors import Refusal


def test_a_refusal_says_its_three_sentences_in_one_breath() -> None:
    assert str(Refusal("It happened.", "All is kept.", "Do this.")) == "It happened. All is kept. Do this."
    assert str(Refusal("It happened.")) == "It happened. Nothing was changed."
    assert Refusal("It happened.").status == 409
