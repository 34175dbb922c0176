import pytest

from shoots.shopping.prop_words import kind_of, things_in


def test_the_words_of_a_shot_are_taken_apart():
    assert things_in("two clay bowls, dark board; linen napkin and a bread knife") == [
        (2, "clay bowls", "crockery"),
        (1, "dark board", "surface"),
        (1, "linen napkin", "cloth"),
        (1, "bread knife", "cutlery"),
    ]
    assert things_in("6 forks\nsalt and pepper mill") == [(6, "forks", "cutlery"), (1, "salt and pepper mill", "prop")]


@pytest.mark.parametrize("text", ["", " , ;; . ", "\n\n"])
def test_nothing_is_made_of_nothing(text):
    assert things_in(text) == []


def test_a_number_alone_or_too_large_is_part_of_the_name():
    assert things_in("12, 0 plates, 1000 spoons") == [
        (1, "12", "prop"),
        (1, "0 plates", "crockery"),
        (1, "1000 spoons", "cutlery"),
    ]


@pytest.mark.parametrize(
    ("what", "kind"),
    [
        ("board for the bread", "surface"),
        ("bread knife", "cutlery"),
        ("walnut", "prop"),
        ("old linen tablecloth", "cloth"),
        ("jug of water", "crockery"),
    ],
)
def test_the_last_word_that_tells_says_the_kind(what, kind):
    assert kind_of(what) == kind


def test_a_novel_is_cut_to_the_length_of_a_name():
    assert len(things_in("x" * 5000)[0][1]) == 120
