import re
from fractions import Fraction as F

import pytest

from shoots.plan.queries import sheet_words
from shoots.plan.sheet_words import drafted_in
from shoots.shopping.lists import Line, Use, join, scale_dish
from shoots.shopping.quantities import Portions, Wanted
from shoots.shopping.wording import (
    WORDS,
    amount,
    arithmetic,
    ask_the_cook,
    bought,
    count_word,
    figure,
    measured,
    portions_in_words,
    sum_in_words,
    times,
)

EIGHT = Portions(eaten=4, heroes=2, stand_ins=1, spares=1)
LINES = [
    Line("400 ml stock", "stock", F(400), "ml"),
    Line("5 eggs", "eggs", F(5)),
    Line("2 to 3 tbsp vinegar", "vinegar", F(3), "tbsp", F(2)),
    Line("some salt", "salt"),
    Line("1 bunch parsley", "parsley", F(1), "bunch"),
]


def dish(*uses: Use, serves: int | None = 4, portions: Portions = EIGHT):
    return scale_dish(1, "Broth", portions=portions, serves=serves, lines=LINES, uses=uses)


def plain(text: str) -> str:
    return text.replace("\u00a0", " ")


def asked(use: Use, language: str = "en", **also) -> list[str]:
    return [plain(each) for each in ask_the_cook(dish(use, **also), use, language)]


def test_the_arithmetic_of_the_worked_example_is_visible():
    """[CP: common practice, no source]; the figures of test_quantities."""
    crack = Use(1, "Crack", "crack", Wanted("many", 3), (1,))
    stock, eggs, vinegar, salt, _parsley = [plain(arithmetic(line, 8, 4)) for line in dish(crack).lines]
    assert stock == "recipe 400 ml × 2 = 800 ml"
    assert eggs == "recipe 5 × 2 = 10, + 2 spare = 12"
    assert vinegar == "recipe 2 to 3 tbsp, counted as 3 tbsp, × 2 = 6 tbsp"
    assert salt == "as needed: see the words “some salt”"


def test_the_portions_of_the_worked_example_in_words():
    assert plain(portions_in_words(EIGHT, 4)) == (
        "2 heroes (one spare) + 1 stand-in + 1 spare for further takes + 4 eaten = 8 portions = the recipe × 2"
    )
    assert plain(portions_in_words(EIGHT, 4, "de")) == (
        "2 fürs Bild (eine Reserve) + 1 Lichtdouble + 1 Reserve für weitere Aufnahmen + 4 gegessen = 8 Portionen = das Rezept × 2"
    )
    assert portions_in_words(Portions(0, 1, 0), None) == "1 hero = 1 portion"
    assert portions_in_words(Portions(0, 0, 0), None) == "0 portions"


def test_what_is_sold_whole_is_bought_whole():
    """1 bunch for 4, cooked for 9, is 2 1/4 bunches: three are bought, and the arithmetic says so."""
    listed = dish(portions=Portions(eaten=6, heroes=2, stand_ins=1))
    [line] = [each for each in join([listed]) if each.name == "parsley"]
    assert (line.figure, bought(line)) == (3, "3\u00a0bunches")
    assert plain(sum_in_words(line)) == "recipe 1 bunch × 2.25 = 2 1/4 bunches, bought as 3 bunches"


def test_what_is_held_back_in_words():
    pour = Use(1, "Pour", "pour", Wanted("keep", 3), (0,))
    assert asked(pour) == ["Hold back 533 ml of 800 ml stock, poured in three, 267 ml a take"]
    assert asked(pour, "de") == ["Von 800 ml stock 533 ml zurückhalten, in drei Gängen je 267 ml"]
    assert asked(Use(1, "Add", "add", Wanted("keep", 3), (1,))) == [
        "Hold back 6 of 10 eggs, added in three: 4, 3 and 3"
    ]
    assert asked(Use(1, "Scatter", "sprinkle", Wanted("keep", 3), (4,))) == [
        "Hold back 1 1/3 bunches of 2 bunches parsley, sprinkled in three, 2/3 bunch a take"
    ]
    assert asked(Use(1, "Salt", "x", Wanted("keep", 20), (3,))) == ["Hold back part of the salt for 20 takes"]
    assert asked(Use(1, "Cover with water", "pour", Wanted("keep", 2))) == ["Hold back part of it for two takes"]


def test_what_else_the_cook_is_asked_for():
    assert asked(Use(1, "Crack", "crack", Wanted("many", 3), (1,))) == ["Have 12 eggs: 10 for the dish and 2 spare"]
    assert asked(Use(1, "Crack", "crack", Wanted("many", 3), (0,))) == ["Have 2 more ready for the other takes: stock"]
    assert asked(Use(1, "Tear", "tear", Wanted("many", 3, is_portion=True))) == [
        "Have 2 more ready for the other takes"
    ]
    assert asked(Use(1, "Flambé", "flambe", Wanted("once", 2))) == [
        "Cook 1 portion more for two takes: it happens once in each"
    ]
    assert asked(Use(1, "Pour", "pour", Wanted("keep", 3, can_split=False))) == [
        "Cook 2 portions more: it cannot be split"
    ]
    assert asked(Use(1, "Flambé", "flambe", Wanted("once"))) == []
    assert asked(Use(1, "Stir", "stir", Wanted("free", 9))) == []


def test_a_batch_of_several_portions_is_asked_for_as_it_is_bought():
    """Bought are spare portions; a cook told "one batch" would cook the whole recipe again."""
    assert asked(Use(1, "Flambé", "flambe", Wanted("once", 3, batch=4))) == [
        "Cook 8 portions more for three takes: it happens once in each"
    ]
    assert asked(Use(1, "Flambé", "flambe", Wanted("once", 3, batch=4)), "de") == [
        "8 Portionen mehr kochen: es geschieht in jeder nur einmal, drei Aufnahmen"
    ]


@pytest.mark.parametrize("language", ["de", "fr", "es", "it", "sv"])
@pytest.mark.parametrize("takes", [2, 3, 20])
def test_whatever_is_asked_of_the_cook_is_said_on_the_cooks_sheet_in_the_cooks_language(language, takes):
    """The sheet reads the English sentence back; figures and names of ingredients stay."""
    asks = {
        sentence
        for lines in ((), (0,), (1,), (2,), (3,), (4,))
        for wanted in (
            Wanted("keep", takes), Wanted("keep", takes, can_split=False), Wanted("many", takes, is_portion=not lines), Wanted("once", takes, batch=2),
        )
        for action in ("pour", "unknown")
        for sentence in asked(Use(1, "Pour", action, wanted, lines))
    }  # fmt: skip
    assert len(asks) >= 10
    for sentence in asks:
        said = drafted_in(sentence, language, sheet_words())
        assert said != sentence, sentence
        assert "{" not in said
        assert set(re.findall(r"\d+", sentence)) <= set(re.findall(r"\d+", said)), said
        for name in ("stock", "eggs", "vinegar", "salt", "parsley"):
            assert (name in sentence) == (name in said)


def test_figures_as_kitchens_write_them():
    shown = [
        (F(1, 2), "tsp"),
        (F(3, 2), ""),
        (F(2, 3), "bunch"),
        (F(1, 2), "g"),
        (F(7, 12), "tsp"),
        (F(1600), "ml"),
        (F(0), ""),
    ]
    assert [plain(figure(quantity, unit)) for quantity, unit in shown] == [
        "1/2",
        "1 1/2",
        "2/3",
        "0.5",
        "0.58",
        "1,600",
        "0",
    ]
    assert figure(F(1, 2), "kg", "de") == "0,5"
    assert plain(measured(F(4), "clove")) == "4 cloves"
    assert plain(amount(F(800), "ml", "stock")) == "800 ml stock"


@pytest.mark.parametrize(
    ("portions", "serves", "shown"), [(8, 4, "2"), (7, 4, "1.75"), (7, 6, "7 ÷ 6"), (3, 9, "3 ÷ 9")]
)
def test_a_factor_that_does_not_come_out_even_is_shown_as_a_division(portions, serves, shown):
    assert times(portions, serves) == shown


def test_a_joined_line_says_what_came_from_where():
    other = scale_dish(2, "Soup", portions=Portions(1, 0, 0), serves=4, lines=[Line("1 Egg", "Egg", F(1))], uses=())
    line = next(each for each in join([dish(), other]) if each.name == "eggs")
    assert bought(line) == "11"
    assert sum_in_words(line) == (
        "Broth: recipe 5 × 2 = 10; Soup (Egg): recipe 1 × 0.25 = 1/4; together 10\u00a01/4, bought as 11"
    )
    assert bought(join([dish()])[-1]) == "as needed: see the words"


def test_a_name_with_braces_is_only_a_name():
    odd = scale_dish(1, "x", portions=EIGHT, serves=4, lines=[Line("{0} {held}", "{0} {held}", F(3), "g")], uses=())
    use = Use(1, "Pour", "pour", Wanted("keep", 3), (0,))
    assert "{0} {held}" in ask_the_cook(odd, use)[0]


def test_both_languages_say_the_same_things():
    assert WORDS["en"].keys() == WORDS["de"].keys()
    assert [count_word(3), count_word(13), count_word(3, "de")] == ["three", "13", "drei"]
