import re

from hypothesis import given
from hypothesis import strategies as st

from shoots.plan.plain_text import sort_lines
from studio.demo.recipes import BEAN_STEW, BREAD_BOAT

LINES = st.lists(
    st.one_of(
        st.sampled_from(
            [
                "Ingredients",
                "Method:",
                "Notes",
                "",
                "For the dough:",
                "Serves: 4",
                "Prep time: 5 min",
                "2 leeks",
                "- salt",
            ]
        ),
        st.sampled_from(
            [
                "1. Wash the leeks.",
                "and dry them.",
                "Bake for an hour until done.",
                "12.",
                "•",
                "**Cheese**",
                "1) 2) 3)",
            ]
        ),
        st.text(alphabet="abc 12.,:-*#()é", max_size=30),
    ),
    max_size=20,
)


def signs(text):
    """The letters and digits of a text: what may not be lost. Marks and list numbers may."""
    return re.findall(r"[^\W\d_]", text)


def everything_of(pasted):
    lines = [pasted.title, *pasted.headings, *pasted.notes, *(text for _, text in pasted.ingredients)]
    return " ".join([*lines, *(text for _, text in pasted.steps), *(text for text, _ in pasted.unread)])


@given(LINES)
def test_no_letter_of_any_line_is_lost(lines):
    text = "\n".join(lines)
    assert sorted(signs(everything_of(sort_lines(text)))) == sorted(signs(text))


def test_headings_open_their_part_and_sections_are_no_steps():
    pasted = sort_lines(BREAD_BOAT)
    assert pasted.title == "Bread boat with egg yolk"
    assert pasted.yields == "4"
    assert [section for section, _ in pasted.steps] == ["For the dough"] * 2 + ["For the boats"] * 7
    assert pasted.ingredients[5] == ("For the filling", "350 g young cheese, grated")


def test_a_wrapped_line_belongs_to_the_step_before_it():
    pasted = sort_lines(BEAN_STEW)
    assert len(pasted.steps) == 7
    assert pasted.steps[1][1].endswith("until a bean gives way between two fingers.")


def test_notes_end_the_method():
    assert sort_lines(BEAN_STEW).notes == ["Best the day after."]


def test_without_headings_sentences_are_steps_and_quantities_ingredients():
    pasted = sort_lines("Walnut paste\n200 g walnuts\n2 cloves garlic\nPound both until the oil shows.\nKeep cold")
    assert [text for _, text in pasted.ingredients] == ["200 g walnuts", "2 cloves garlic"]
    assert [text for _, text in pasted.steps] == ["Pound both until the oil shows."]
    assert [text for text, _ in pasted.unread] == ["Keep cold"]
