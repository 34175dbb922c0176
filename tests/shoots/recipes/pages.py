from datetime import date

from django.urls import reverse

from shoots.recipes.actions import add_own_kind, learn_word, read_recipe_into, remove_moment
from shoots.recipes.models import OwnWord, PutBy
from tests.factories.plan import BEAN_STEW, dish_read
from tests.house.pages import Deed, Page

ON = date(2026, 11, 12)


def _dish(name):
    return lambda rows: reverse(name, args=[dish_read().pk])


def _step(name):
    return lambda rows: reverse(name, args=[dish_read().recipe.steps.first().pk])


def _moment(name):
    return lambda rows: reverse(name, args=[dish_read().moments.first().pk])


def _full_recipe(rows):
    """As many more steps with moments as rows, as many own words, and as many moments taken out."""
    more = "".join(f"{4 + row}. Pour the broth {'slowly ' * row}over it. Frobble the lot.\n" for row in range(rows))
    dish = dish_read(text=BEAN_STEW + more)
    for moment in dish.moments.all()[:rows]:
        remove_moment(moment)
    _words(rows)
    return reverse("dish_recipe", args=[dish.pk])


def _words(rows):
    for _ in range(rows):
        new = "abcdefghijklmnopqrstuvwxyz"[OwnWord.objects.count()]
        kind = add_own_kind(name=f"frizzle{new}", by="Tindra Aldermoor", on=ON)
        learn_word(f"flash{new}", action=kind.key, by="Tindra Aldermoor", on=ON)


def _own_words(rows):
    _words(rows)
    return reverse("own_words")


def _word(rows):
    word = learn_word("flash", action="sear", by="Tindra Aldermoor", on=ON)
    return reverse("forget_word", args=[word.pk])


def _kind(name):
    return lambda rows: reverse(name, args=[add_own_kind(name="frizzle", by="Tindra Aldermoor", on=ON).pk])


def _taken_out(rows):
    remove_moment(dish_read().moments.first())
    return reverse("bring_moments_back", args=[PutBy.objects.get().pk])


def _read_twice(rows):
    dish = dish_read()
    read_recipe_into(dish, text=BEAN_STEW)
    return reverse("bring_reading_back", args=[dish.pk])


PAGES = {
    "dish_recipe": Page(_full_recipe, lists=True),
    "edit_recipe": Page(_dish("edit_recipe"), lists=True),
    "edit_steps": Page(_dish("edit_steps"), lists=True),
    "settle_unread": Deed(_dish("settle_unread")),
    "bring_reading_back": Deed(_read_twice),
    "talk_recipe_through": Deed(_dish("talk_recipe_through")),
    "tell_allergens": Deed(_dish("tell_allergens")),
    "add_moment": Deed(_dish("add_moment")),
    "keep_moments": Deed(_dish("keep_moments")),
    "order_moments": Deed(_dish("order_moments")),
    "edit_step": Page(_step("edit_step")),
    "split_step": Deed(_step("split_step")),
    "join_step": Deed(_step("join_step")),
    "move_step": Deed(_step("move_step")),
    "remove_step": Deed(_step("remove_step")),
    "edit_moment": Page(_moment("edit_moment")),
    "keep_moment": Deed(_moment("keep_moment")),
    "move_moment": Deed(_moment("move_moment")),
    "split_moment": Deed(_moment("split_moment")),
    "join_moments": Deed(_moment("join_moments")),
    "remove_moment": Deed(_moment("remove_moment")),
    "learn_word_of_moment": Deed(_moment("learn_word_of_moment")),
    "bring_moments_back": Deed(_taken_out),
    "own_words": Page(_own_words, lists=True),
    "learn_word": Deed(lambda rows: reverse("learn_word")),
    "forget_word": Deed(_word),
    "add_own_kind": Page(lambda rows: reverse("add_own_kind")),
    "edit_own_kind": Page(_kind("edit_own_kind")),
    "remove_own_kind": Deed(_kind("remove_own_kind")),
}
