from shoots.releases.signing import WORDS, words_for, words_in


def test_each_language_has_every_word_of_the_sign_page():
    assert WORDS["de"].keys() == WORDS["en"].keys()
    assert all(WORDS["de"].values())


def test_labels_stand_in_the_signers_language_first():
    assert words_in(("de", "en"))["is_of_full_age"] == "Ich bin volljährig / I am of full age"


def test_both_who_sign_are_named_in_their_turn():
    said = words_for("de", minor="Nino Lantadze", guardian="Ilo Lantadze")
    assert said["minor_first"].startswith("Zuerst unterschreibt Nino Lantadze, dann Ilo Lantadze")
    assert "{" not in "".join(said.values())
