import pytest

from shoots.plan.forms import AddMomentForm, MomentForm, RecipeForm, StepForm, WordsField, cue_choices
from tests.factories.plan import MomentFactory, dish_read

pytestmark = pytest.mark.django_db


def test_a_recipe_edited_by_hand_asks_what_becomes_of_the_edits():
    assert RecipeForm({"text": "Soup"}).is_valid()
    form = RecipeForm({"text": "Soup"}, edits="2 moments")
    assert "2 moments" in str(form.errors["edits"])
    assert RecipeForm({"text": "Soup", "edits": "keep"}, edits="2 moments").is_valid()


def test_cues_are_said_in_both_languages():
    assert ("now", "now / jetzt") in [(key, words.lower()) for key, words in cue_choices("en", "de")]


def test_words_with_commas_become_a_list():
    assert WordsField(required=False).clean("hot oil, steam") == ["hot oil", "steam"]


def test_a_moment_takes_its_cues_from_the_closed_list_only():
    moment = MomentFactory()
    typed = {"version": 1, "what": "Pour", "repeat": "keep", "cues": ["slow"], "hazards": "hot oil"}
    form = MomentForm(typed, instance=moment)
    assert form.is_valid(), form.errors
    assert form.changed_values()["hazards"] == ["hot oil"]
    assert "cues" in MomentForm({**typed, "cues": ["drop it"]}, instance=moment).errors


def test_an_added_moment_brings_what_the_list_knows_of_such_an_action():
    dish = dish_read()
    form = AddMomentForm({"what": "Sauce over the boat", "action": "pour"}, dish=dish)
    assert form.is_valid(), form.errors
    assert form.moment_values()["repeat"] == "keep"


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"minutes_from": "20", "minutes_to": "10"}, "minutes_to"),
        ({"temperature_c": "900"}, "temperature_c"),
        ({"minutes_from": "-1"}, "minutes_from"),
    ],
)
def test_a_step_that_cannot_be_is_told_under_its_field(change, field):
    step = dish_read().recipe.steps.first()
    assert field in StepForm({"version": 1, "text": "Bake", **change}, instance=step).errors
