from decimal import Decimal

import pytest

from shoots.plan.queries import kitchen_lexicon
from shoots.recipes.forms import (
    AddMomentForm,
    IngredientFormSet,
    JoinMomentForm,
    LearnWordForm,
    MomentForm,
    OrderForm,
    OwnKindForm,
    RecipeForm,
    RecipeHeadForm,
    RereadForm,
    SplitStepForm,
    StepForm,
    StepLinesForm,
    WordsField,
    ingredient_rows,
)
from shoots.recipes.queries import Rereading
from tests.factories.plan import MomentFactory, dish_read

pytestmark = pytest.mark.django_db


def moment_form(typed, moment):
    return MomentForm(typed, instance=moment, lexicon=kitchen_lexicon())


def test_a_recipe_edited_by_hand_asks_what_becomes_of_the_edits():
    assert RecipeForm({"text": "Soup"}).is_valid()
    form = RereadForm({"text": "Soup"}, edits="2 moments")
    assert "2 moments" in str(form.errors["edits"])
    for way in ("mine", "keep", "replace"):
        assert RereadForm({"text": "Soup", "edits": way}, edits="2 moments").is_valid()


def test_each_way_says_what_it_would_do():
    form = RereadForm(edits="1 moment", rereading=Rereading((), 1, 4, 5))
    details = form.fields["edits"].widget.details
    assert "1 moment of yours stays; 4 drafts make room" in details["keep"]
    assert "5 drafted moments" in details["replace"]


def test_a_text_far_too_long_is_told_and_not_sent_back_whole():
    form = RecipeForm({"text": "x" * 2_000_000})
    assert "2000000 characters, more than a recipe has" in str(form.errors["text"])
    assert form.shorten()
    assert len(form["text"].value()) == 200_000
    assert not RecipeForm({"text": "Soup"}).shorten()


def test_words_with_commas_become_a_list():
    assert WordsField(required=False).clean("hot oil, steam") == ["hot oil", "steam"]


def test_a_moment_takes_its_cues_from_the_closed_list_only():
    moment = MomentFactory()
    typed = {"version": 1, "what": "Pour", "repeat": "keep", "interest": 4, "cues": ["slow"], "hazards": "hot oil"}
    form = moment_form(typed, moment)
    assert form.is_valid(), form.errors
    assert form.changed_values()["hazards"] == ["hot oil"]
    assert "cues" in moment_form({**typed, "cues": ["drop it"]}, moment).errors


def test_another_kind_brings_its_own_but_not_over_what_was_typed():
    moment = MomentFactory(light="side", hazards=["steam"])
    typed = {"version": 1, "what": "Pour", "action": "pour", "repeat": "free", "interest": 4, "light": "from the door", "hazards": "steam"}  # fmt: skip
    form = moment_form(typed, moment)
    assert form.is_valid(), form.errors
    values = form.changed_values()
    assert (values["light"], values["repeat"], values["angle"]) == ("from the door", "keep", "level")
    assert values["hazards"] == list(kitchen_lexicon().action("pour").hazards)


def test_a_word_to_learn_needs_its_kind_and_must_be_one():
    moment, typed = MomentFactory(), {"version": 1, "what": "Flash it", "repeat": "free", "interest": 4}
    assert "learn" in moment_form({**typed, "learn": "flash"}, moment).errors
    assert "learn" in moment_form({**typed, "action": "sear", "learn": "the"}, moment).errors
    assert moment_form({**typed, "action": "sear", "learn": "flash"}, moment).is_valid()


def test_a_kind_that_went_stays_with_the_moment_that_has_it():
    moment = MomentFactory(action="kind-77")
    typed = {"version": 1, "what": "Frizzle", "action": "kind-77", "repeat": "free", "interest": 4}
    assert moment_form(typed, moment).is_valid()


def test_an_added_moment_brings_what_the_list_knows_of_such_a_kind():
    form = AddMomentForm({"what": "Sauce over the boat", "action": "pour"}, dish=dish_read(), lexicon=kitchen_lexicon())
    assert form.is_valid(), form.errors
    values = form.moment_values()
    assert (values["what"], values["repeat"], values["distance"]) == ("Sauce over the boat", "keep", "tight")


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"minutes_from": "20", "minutes_to": "10"}, "minutes_to"),
        ({"temperature_c": "900"}, "temperature_c"),
        ({"minutes_from": "-1"}, "minutes_from"),
        ({"text": "x" * 5001}, "text"),
    ],
)
def test_a_step_that_cannot_be_is_told_under_its_field(change, field):
    step = dish_read().recipe.steps.first()
    assert field in StepForm({"version": 1, "text": "Bake", **change}, instance=step).errors


def test_steps_are_lines_and_a_split_needs_two():
    form = StepLinesForm({"lines": "1. Zwiebeln anbraten\n\n- Backen", "version": "1"})
    assert form.is_valid()
    assert form.cleaned_data["lines"] == ["Zwiebeln anbraten", "Backen"]
    assert "lines" in StepLinesForm({"lines": " \n"}).errors
    assert "lines" in StepLinesForm({"lines": "\n".join(["Stir"] * 301)}).errors
    assert "Line 2 has" in str(StepLinesForm({"lines": "Stir\n" + "x" * 5001}).errors)
    assert "Break it where" in str(SplitStepForm({"lines": "Zwiebeln anbraten"}).errors)


@pytest.mark.parametrize(("servings", "is_right"), [("0", False), ("1001", False), ("12", True), ("", True)])
def test_portions_are_a_number_a_kitchen_could_cook(servings, is_right):
    form = RecipeHeadForm({"version": 1, "title": "Stew", "servings": servings}, instance=dish_read().recipe)
    assert form.is_valid() is is_right


def test_ingredients_are_lines_that_can_be_emptied_ticked_and_added():
    rows = ingredient_rows(dish_read().recipe)
    assert (rows[0]["quantity"], rows[0]["unit"], rows[0]["name"]) == (Decimal(500), "g", "red beans")
    data = {"i-TOTAL_FORMS": "4", "i-INITIAL_FORMS": "2", "i-0-text": "", "i-0-place": "0", "i-1-text": "2 onions", "i-1-place": "1"}  # fmt: skip
    data |= {"i-2-text": "3 tbsp oil", "i-2-DELETE": "on", "i-3-quantity": "2.5", "i-3-unit": "g", "i-3-name": "salt"}
    lines = IngredientFormSet(data, prefix="i", initial=rows[:2])
    assert lines.is_valid(), lines.errors
    assert [line["text"] for line in lines.lines()] == ["2 onions", "2.5 g salt"]
    data["i-1-quantity"] = "two"
    assert not IngredientFormSet(data, prefix="i", initial=rows[:2]).is_valid()


def test_a_moment_is_joined_with_another_of_its_own_dish_only():
    moment = MomentFactory()
    assert JoinMomentForm({"other": MomentFactory(dish=moment.dish).pk}, moment=moment).is_valid()
    for other in (moment, MomentFactory()):
        assert not JoinMomentForm({"other": other.pk}, moment=moment).is_valid()


def test_an_order_is_keys_with_commas():
    form = OrderForm({"order": "3,1"})
    assert form.is_valid()
    assert form.cleaned_data["order"] == [3, 1]
    for wrong in ("", "3;1", "3,", "²", "9" * 30):
        assert not OrderForm({"order": wrong}).is_valid()


@pytest.mark.parametrize("word", ["", "   ", "the", "12", "x" * 200, "!!"])
def test_a_word_that_would_match_nothing_or_everything_is_told_under_its_field(word):
    assert "word" in LearnWordForm({"word": word, "action": "sear"}, lexicon=kitchen_lexicon()).errors


def test_an_own_kind_takes_no_word_of_the_list():
    typed = {"version": 1, "name": "Flash", "repeat": "once", "interest": 5, "peak_seconds": 2}
    form = OwnKindForm(typed, lexicon=kitchen_lexicon())
    assert form.is_valid(), form.errors
    assert form.changed_values()["name"] == "flash"
    assert "name" in OwnKindForm({**typed, "name": "pour"}, lexicon=kitchen_lexicon()).errors
