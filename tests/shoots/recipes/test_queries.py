from datetime import date

import pytest

from shoots.plan.models import Recipe
from shoots.plan.queries import kitchen_lexicon, recipe_of
from shoots.recipes.actions import (
    add_own_kind,
    change_moment,
    keep_moment,
    learn_word,
    remove_own_kind,
    settle_unread,
    talk_recipe_through,
)
from shoots.recipes.models import OwnWord
from shoots.recipes.queries import (
    earlier_reading,
    edits_of,
    ingredients_shown,
    kind_choices,
    name_of_kind,
    rereading_of,
    steps_shown,
    studio_lexicon,
    taken_out,
    unread_of,
    words_of,
    words_to_learn,
    words_with_kinds,
)
from tests.factories.plan import BEAN_STEW, dish_read
from tests.factories.shoots import DishFactory

pytestmark = pytest.mark.django_db

ON = date(2026, 11, 12)


def test_the_table_is_as_it_is_until_a_word_is_taught():
    assert studio_lexicon() is kitchen_lexicon()
    learn_word("flash", action="sear", by="", on=ON)
    assert "flash" in studio_lexicon().action("sear").words


def test_kinds_of_moment_are_named_as_a_cook_writes_them():
    named = dict(kind_choices(studio_lexicon()))
    assert (named["flambe"], named["saute"], named["light_up"]) == ("Flambé", "Sauté", "Light")
    assert name_of_kind("light_up", studio_lexicon()) == "light"


def test_own_words_say_what_they_mean_and_whose_kind_went():
    kind = add_own_kind(name="frizzle", by="", on=ON)
    learn_word("crinkle", action=kind.key, by="", on=ON)
    assert [(str(word), name) for word, name in words_with_kinds()] == [("crinkle", "frizzle")]
    OwnWord.objects.create(word="crumple", action="kind-999", taught_on=ON)
    assert [(str(word), name) for word, name in words_with_kinds()] == [("crinkle", "frizzle"), ("crumple", "")]
    remove_own_kind(kind)
    assert name_of_kind(kind.key, studio_lexicon()) == ""


def test_edits_are_counted_and_named():
    dish = dish_read()
    assert not edits_of(dish)
    keep_moment(dish.moments.first())
    settle_unread(dish.recipe, place=0, what="1 c salt", way="aside")
    talk_recipe_through(dish.recipe, on=ON)
    said = str(edits_of(dish)).replace("\xa0", " ")
    assert said.startswith(f"{dish.moments.count()} moments, what you did with the lines")
    assert said.endswith("that the cook went through it on 12 Nov 2026")
    assert not edits_of(DishFactory())


def test_edits_of_books_from_before_still_count():
    dish = dish_read()
    Recipe.objects.filter(dish=dish).update(version=2)
    assert str(edits_of(dish)) == "the order, or lines you took out"


def test_lines_not_read_know_the_ingredient_or_step_they_belong_to():
    dish = dish_read()
    dish.recipe.unread += [
        {"what": what, "why": "?"} for what in (dish.recipe.steps.first().text, "Love", "Method", "Ingredients")
    ]
    dish.recipe.save()
    lines = unread_of(dish.recipe)
    assert [line.where for line in lines] == ["recipe", "step", "", "steps", "recipe"]
    assert lines[1].step == dish.recipe.steps.first().pk
    settle_unread(dish.recipe, place=0, what="1 c salt", way="right")
    assert [line.done for line in unread_of(Recipe.objects.get(dish=dish))] == ["", "", "", "", "Read right"]


def test_a_step_without_a_moment_offers_its_first_word():
    dish = dish_read(text=BEAN_STEW + "4. The frobble is done.\n")
    shown = steps_shown(recipe_of(dish))
    assert [bool(each.word) for each in shown] == [not each.moments for each in shown]
    assert shown[-1].word == "frobble"
    assert shown[0].drafts == len(shown[0].moments)
    assert steps_shown(None) == []


def test_a_moment_with_another_kind_than_its_words_say_offers_its_word():
    dish = dish_read()
    moment = dish.moments.get(action="fry")
    moment.what = "Flash the onions"
    assert words_to_learn([moment], studio_lexicon()) == {}  # a draft is nobody's word yet
    change_moment(moment, fields=["what"], version=1)
    assert words_to_learn([moment], studio_lexicon()) == {moment.pk: ("flash", name_of_kind("fry", studio_lexicon()))}
    learn_word("flash", action="fry", by="", on=ON)
    assert words_to_learn([moment], studio_lexicon()) == {}


def test_a_second_text_says_what_it_would_change_and_changes_nothing():
    dish = dish_read()
    keep_moment(dish.moments.first())
    before = words_of(dish)
    found = rereading_of(dish, BEAN_STEW.replace("15 minutes", "20 minutes").replace("Bean stew", "Red bean stew"))
    assert [change.part for change in found.changes] == ["Title", "Steps", "Moments"]
    assert found.changes[1].after == ("Fry the onions in the oil for 20 minutes, until golden.",)
    assert (found.stay, found.go) == (1, dish.moments.count() - 1)
    assert words_of(dish) == before
    assert rereading_of(dish, BEAN_STEW).changes == ()


def test_nothing_is_put_by_at_first():
    dish = dish_read()
    assert earlier_reading(dish) is None
    assert taken_out(dish) == []


def test_figures_are_shown_beside_an_ingredient_only_where_they_were_corrected():
    dish = dish_read()
    assert {line.read for line in ingredients_shown(dish.recipe)} == {""}
    dish.recipe.ingredients[4] |= {"quantity": "0.5", "unit": "tsp"}
    assert [line.read for line in ingredients_shown(dish.recipe)] == ["", "", "", "", "0.5 tsp salt"]
    assert ingredients_shown(None) == []
