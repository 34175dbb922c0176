from shoots.releases.signing import WORDS, words_in


def test_each_language_has_every_word_of_the_sign_page():
    assert WORDS["de"].keys() == WORDS["en"].keys()
    assert all(WORDS["de"].values())


def test_labels_stand_in_the_signers_language_first():
    assert words_in(("de", "en"))["is_of_full_age"] == "Ich bin volljährig / I am of full age"
