from datetime import date
from decimal import Decimal

import pytest

from shared.edits import EditedMeanwhile
from shoots.plan.actions import make_shot_list
from shoots.plan.models import Moment, Recipe
from shoots.plan.queries import ingredients_of, kitchen_lexicon
from shoots.recipes.actions import (
    MOMENT_FIELDS,
    NothingToJoin,
    RecipeHasEdits,
    RecipeUnreadable,
    WordMeansAnother,
    WordUnlearnable,
    add_moment,
    add_own_kind,
    add_step,
    bring_moments_back,
    bring_reading_back,
    change_moment,
    change_own_kind,
    change_step,
    correct_recipe,
    forget_word,
    join_moments,
    join_step,
    keep_moment,
    keep_moments,
    learn_word,
    move_moment,
    move_step,
    order_moments,
    read_recipe_into,
    remove_moment,
    remove_own_kind,
    remove_step,
    settle_unread,
    split_moment,
    split_step,
    talk_recipe_through,
    write_steps,
)
from shoots.recipes.forms import ingredient_rows
from shoots.recipes.models import OwnWord
from tests.factories.plan import BEAN_STEW, MomentFactory, dish_read, planned_shoot
from tests.factories.shoots import DishFactory

pytestmark = pytest.mark.django_db


def whats(dish):
    return [moment.what for moment in dish.moments.all()]


# Recipes


def test_a_pasted_recipe_becomes_steps_and_drafted_moments():
    dish = dish_read()
    assert [step.minutes_from for step in dish.recipe.steps.all()] == [15, 20, None]
    assert dish.recipe.steps.get(order=2).temperature_c == 180
    lid = dish.moments.get(action="uncover")
    assert (lid.what, lid.is_draft, lid.repeat) == ("Lift the lid at the table", True, "free")
    assert lid.cues == ["wait", "lid_off", "again"]
    assert lid.hazards == ["steam"]


def test_what_could_not_be_read_stays_beside_it_with_the_reason():
    assert [line["what"] for line in dish_read().recipe.unread] == ["1 c salt"]


def test_a_text_that_is_no_recipe_is_refused_and_nothing_is_written():
    dish = DishFactory()
    with pytest.raises(RecipeUnreadable):
        read_recipe_into(dish, text="   ")
    assert not dish.moments.exists()


def test_pasting_again_without_edits_reads_it_anew_and_doubles_nothing():
    dish = dish_read()
    before = whats(dish)
    read_recipe_into(dish, text=BEAN_STEW)
    assert whats(dish) == before


def settle(dish):
    settle_unread(dish.recipe, place=0, what="1 c salt", way="right")


def with_title(dish, title="Stew of beans"):
    recipe, rows = dish.recipe, [dict(row) for row in ingredient_rows(dish.recipe)]
    return correct_recipe(
        recipe, title=title, yields=recipe.yields, servings=recipe.servings, ingredients=rows, version=recipe.version
    )


def without_salt(dish):
    recipe, rows = dish.recipe, ingredient_rows(dish.recipe)
    correct_recipe(
        recipe, title=recipe.title, yields=recipe.yields, servings=4, ingredients=rows[:-1], version=recipe.version
    )


def first_and_second(dish):
    return dish.moments.all()[:2]


def changed(row, **fields):
    for name, value in fields.items():
        setattr(row, name, value)
    (change_moment if isinstance(row, Moment) else change_step)(row, fields=fields, version=row.version)


EDITS = {
    "a moment kept": lambda dish: keep_moment(dish.moments.first()),
    "all moments kept": keep_moments,
    "a moment changed": lambda dish: changed(dish.moments.first(), what="Onions turn golden"),
    "a moment written": lambda dish: add_moment(dish, what="Maro tastes"),
    "a moment taken out": lambda dish: remove_moment(dish.moments.first()),
    "a moment moved": lambda dish: move_moment(dish.moments.first(), places=1),
    "moments ordered": lambda dish: order_moments(dish, keys=[dish.moments.last().pk]),
    "two moments joined": lambda dish: join_moments(*first_and_second(dish)),
    "a moment split": lambda dish: split_moment(dish.moments.first(), first="Fry", second="Onions turn golden"),
    "talked through": lambda dish: talk_recipe_through(dish.recipe, on=date(2026, 11, 10)),
    "the title": with_title,
    "an ingredient taken out": without_salt,
    "a line gone through": settle,
    "a step changed": lambda dish: changed(dish.recipe.steps.first(), minutes_from=12),
    "a step added": lambda dish: add_step(dish.recipe, text="Serve with bread."),
    "a step taken out": lambda dish: remove_step(dish.recipe.steps.first()),
    "a step moved": lambda dish: move_step(dish.recipe.steps.first(), places=1),
    "two steps joined": lambda dish: join_step(dish.recipe.steps.first()),
    "a step split": lambda dish: split_step(dish.recipe.steps.first(), lines=["Fry the onions in the oil.", "Wait."]),
    "steps written": lambda dish: write_steps(dish.recipe, lines=["Fry the onions."], version=1),
}


def as_it_stands(dish):
    """All that a reading could write over."""
    recipe = Recipe.objects.get(dish=dish)
    steps = list(recipe.steps.values_list("text", "minutes_from", "minutes_to", "temperature_c"))
    moments = list(dish.moments.values_list("what", "is_draft", "step__text", *MOMENT_FIELDS))
    return recipe.title, recipe.source, recipe.ingredients, recipe.unread, recipe.talked_through_on, steps, moments


@pytest.mark.parametrize("edit", EDITS)
def test_no_edit_is_written_over_without_asking(edit):
    dish = dish_read()
    EDITS[edit](dish)
    before = as_it_stands(dish)
    with pytest.raises(RecipeHasEdits) as refused:
        read_recipe_into(dish, text="Soup\n\nMethod\n\n1. Boil the water.")
    assert str(refused.value.edits)
    assert as_it_stands(dish) == before


@pytest.mark.parametrize("edit", EDITS)
@pytest.mark.parametrize("way", ["keep", "replace"])
def test_what_was_there_before_a_second_text_can_be_had_back(edit, way):
    dish = dish_read()
    EDITS[edit](dish)
    before = as_it_stands(dish)
    read_recipe_into(dish, text="Soup\n\nMethod\n\n1. Boil the water.", edits=way)
    assert as_it_stands(dish) != before
    assert bring_reading_back(dish)
    assert as_it_stands(dish) == before
    assert bring_reading_back(dish)  # and forth again
    assert Recipe.objects.get(dish=dish).title == "Soup"


def test_there_is_nothing_to_have_back_after_the_first_text():
    assert not bring_reading_back(dish_read())
    dish = DishFactory()
    add_moment(dish, what="Maro tastes")
    read_recipe_into(dish, text=BEAN_STEW, edits="replace")
    assert bring_reading_back(dish)
    assert whats(dish) == ["Maro tastes"]
    assert not Recipe.objects.filter(dish=dish).exists()


@pytest.mark.both
def test_shots_come_back_to_their_moments_with_the_text_before():
    shoot = planned_shoot()
    dish = shoot.dishes.get()
    read_recipe_into(dish, text="Soup\n\nMethod\n\n1. Boil the water.")
    shot = shoot.shots.get(title="Lift the lid at the table")
    assert shot.moment is None
    bring_reading_back(dish)
    shot.refresh_from_db()
    assert shot.moment.what == "Lift the lid at the table"


def test_edits_may_stay_while_the_rest_is_read_anew():
    dish = dish_read()
    onions = dish.moments.get(action="fry")
    onions.what = "Onions turn golden"
    change_moment(onions, fields=["what"], version=1)
    add_moment(dish, what="Maro tastes")
    read_recipe_into(dish, text=BEAN_STEW.replace("15 minutes", "20 minutes"), edits="keep")
    assert {"Onions turn golden", "Maro tastes", "Lift the lid at the table"} <= set(whats(dish))
    assert dish.recipe.steps.first().minutes_from == 20


def test_a_moment_that_stays_stands_where_its_words_stand_in_the_new_step():
    text = "Boats\n\nMethod\n\n1. Separate the eggs, pour the butter over and stir the yolk in.\n2. Bake.\n"
    dish = dish_read(text=text)
    before = whats(dish)
    keep_moment(dish.moments.first())
    read_recipe_into(dish, text=text, edits="keep")
    assert whats(dish) == before


def test_or_the_new_text_takes_the_place_of_everything():
    dish = dish_read()
    add_moment(dish, what="Maro tastes")
    read_recipe_into(dish, text=BEAN_STEW, edits="replace")
    assert "Maro tastes" not in whats(dish)


def test_shots_find_their_moment_again_when_it_is_read_anew():
    shoot = planned_shoot()
    dish = shoot.dishes.get()
    read_recipe_into(dish, text=BEAN_STEW)
    assert shoot.shots.get(title="Lift the lid at the table").moment.dish == dish
    assert make_shot_list(shoot) == []


def test_talking_it_through_agrees_every_moment_that_is_left():
    dish = dish_read()
    assert talk_recipe_through(dish.recipe, on=date(2026, 11, 10)) == dish.moments.count()
    dish.recipe.refresh_from_db()
    assert dish.recipe.talked_through_on == date(2026, 11, 10)
    assert not dish.moments.filter(is_draft=True).exists()


# Moments


def test_a_moment_by_hand_stands_behind_those_of_its_step():
    dish = dish_read()
    step = dish.recipe.steps.first()
    add_moment(dish, what="Onions turn golden", step=step)
    assert whats(dish).index("Onions turn golden") == dish.moments.filter(step=step).count() - 1
    assert not Moment.objects.get(what="Onions turn golden").is_draft


def test_moments_move_up_and_down_and_not_past_the_ends():
    dish = DishFactory()
    one, two, three = (MomentFactory(dish=dish, what=what) for what in ("one", "two", "three"))
    move_moment(three, places=-1)
    assert whats(dish) == ["one", "three", "two"]
    move_moment(one, places=-1)
    move_moment(two, places=1)
    assert whats(dish) == ["one", "three", "two"]


def test_a_moment_somebody_else_changed_is_not_written_over():
    moment = MomentFactory()
    with pytest.raises(EditedMeanwhile):
        change_moment(moment, fields=["what"], version=7)


def test_taking_a_moment_out_leaves_its_shot():
    shoot = planned_shoot()
    shot = shoot.shots.get(title="Lift the lid at the table")
    remove_moment(shot.moment)
    shot.refresh_from_db()
    assert shot.moment is None


def test_what_was_taken_out_or_joined_is_not_drafted_again_when_the_moments_stay():
    dish = dish_read()
    first, second = first_and_second(dish)
    remove_moment(dish.moments.last())
    out = whats(dish)
    joined = join_moments(first, second)
    read_recipe_into(dish, text=BEAN_STEW, edits="keep")
    assert whats(dish) == [joined.what, *out[2:]]


def test_a_changed_moment_is_not_drafted_beside_itself():
    dish = dish_read()
    count = dish.moments.count()
    changed(dish.moments.get(action="fry"), what="Onions turn golden")
    read_recipe_into(dish, text=BEAN_STEW, edits="keep")
    assert dish.moments.count() == count


def test_drafts_of_a_step_or_all_are_kept_at_once():
    dish = dish_read()
    step = dish.moments.first().step
    assert keep_moments(dish, step=step) == step.moments.count()
    assert keep_moments(dish) == dish.moments.count() - step.moments.count()
    assert keep_moments(dish) == 0


def test_a_moment_says_what_is_usual_for_its_kind():
    lid = dish_read().moments.get(action="uncover")
    usual = kitchen_lexicon().action("uncover")
    for name in ("visible", "angle", "distance", "motion", "light", "interest", "repeat"):
        assert getattr(lid, name) == getattr(usual, name)


@pytest.mark.both
def test_moments_come_in_the_order_of_their_keys_and_others_follow():
    dish = DishFactory()
    one, two, three = (MomentFactory(dish=dish, what=what) for what in ("one", "two", "three"))
    order_moments(dish, keys=[three.pk, MomentFactory().pk, one.pk])
    assert whats(dish) == ["three", "one", "two"]
    assert two.dish == dish


@pytest.mark.both
def test_two_moments_become_one_with_the_shots_of_both_and_it_can_be_undone():
    shoot = planned_shoot()
    dish = shoot.dishes.get()
    moments = list(dish.moments.filter(shots__isnull=False).distinct()[:2])
    before, shots = as_it_stands(dish), {shot.pk: shot.moment_id for shot in shoot.shots.all()}
    joined = join_moments(*moments)
    assert (
        joined.what
        == f"{moments[0].what.partition(', then')[0]}, then {moments[1].what[:1].lower()}{moments[1].what[1:]}"
    )
    assert joined.shots.count() == 2
    assert not joined.is_draft
    bring_moments_back(dish.put_by.get())
    assert as_it_stands(dish) == before
    assert {shot.pk: shot.moment_id for shot in shoot.shots.all()} == shots
    assert not dish.put_by.exists()


@pytest.mark.both
def test_one_moment_becomes_two_and_it_can_be_undone():
    shoot = planned_shoot()
    dish = shoot.dishes.get()
    before, moment = as_it_stands(dish), shoot.shots.get(title="Lift the lid at the table").moment
    first, second = split_moment(moment, first="Grip the lid", second="Lift it")
    assert whats(dish).index("Lift it") == whats(dish).index("Grip the lid") + 1
    assert (second.hazards, second.step, second.version) == (first.hazards, first.step, 1)
    assert first.shots.count() == 1
    bring_moments_back(dish.put_by.get())
    assert as_it_stands(dish) == before
    assert shoot.shots.get(title="Lift the lid at the table").moment.what == "Lift the lid at the table"


@pytest.mark.both
def test_a_moment_taken_out_can_be_had_back_in_its_place_with_its_shot():
    shoot = planned_shoot()
    dish = shoot.dishes.get()
    before, shot = as_it_stands(dish), shoot.shots.get(title="Lift the lid at the table")
    put_by = remove_moment(shot.moment)
    assert put_by.what == "Lift the lid at the table"
    [back] = bring_moments_back(put_by)
    shot.refresh_from_db()
    assert shot.moment == back
    assert as_it_stands(dish) == before


def test_a_moment_comes_back_beside_one_that_took_its_key():
    dish = dish_read()
    put_by = remove_moment(dish.moments.first())
    key = put_by.rows["moments"][0]["pk"]
    Moment.objects.create(pk=key, dish=dish, what="Another")
    [back] = bring_moments_back(put_by)
    assert back.pk != key


# Recipe by hand

ODD = "Stew\n\nIngredients\n\n- 500 g beans\n\nMethod\n\n1. Fry the beans.\n"


def corrected(dish, **also):
    recipe = dish.recipe
    typed = {"title": recipe.title, "yields": recipe.yields, "servings": recipe.servings, "version": recipe.version}
    return correct_recipe(recipe, **{**typed, "ingredients": ingredient_rows(recipe), **also})


def test_a_recipe_keeps_what_was_read_of_its_ingredients():
    recipe = dish_read().recipe
    assert recipe.servings == 4
    assert {name: recipe.ingredients[0][name] for name in ("text", "quantity", "unit", "name")} == {
        "text": "500 g red beans", "quantity": "500", "unit": "g", "name": "red beans",
    }  # fmt: skip


@pytest.mark.both
def test_figures_of_an_ingredient_are_corrected_and_its_words_stay():
    dish = dish_read()
    rows = ingredient_rows(dish.recipe)
    rows[4] |= {"quantity": Decimal("0.5"), "unit": "tsp", "name": "salt"}
    corrected(dish, ingredients=rows)
    line = ingredients_of(Recipe.objects.get(dish=dish))[4]
    assert (line.text, line.quantity, line.unit, line.name, line.doubt) == (
        "1 c salt",
        Decimal("0.5"),
        "tsp",
        "salt",
        "",
    )


def test_a_number_that_is_typed_is_no_range_any_more():
    dish = dish_read(text=ODD.replace("500 g beans", "2-3 onions"))
    assert ingredients_of(dish.recipe)[0].quantity_to == Decimal(3)
    rows = ingredient_rows(dish.recipe)
    rows[0] |= {"quantity": Decimal("4.0")}
    corrected(dish, ingredients=rows)
    line = ingredients_of(Recipe.objects.get(dish=dish))[0]
    assert (line.quantity, line.quantity_to) == (Decimal(4), None)


def test_a_doubt_is_settled_by_correcting_what_it_is_about():
    dish = dish_read()
    rows = ingredient_rows(dish.recipe)
    rows[4] |= {"text": "1 cup salt"}
    corrected(dish, ingredients=rows)
    assert [line["done"] for line in Recipe.objects.get(dish=dish).unread] == ["right"]
    dish = with_unread("Fry the beans.")
    changed(dish.recipe.steps.first(), text="Fry the beans for 4 minutes.")
    assert [line["done"] for line in Recipe.objects.get(dish=dish).unread] == ["right"]


def test_line_ends_of_a_browser_do_not_keep_a_line_from_being_settled():
    dish = with_unread("A pinch\nof love")
    settle_unread(dish.recipe, place=0, what="A pinch\r\nof love", way="ingredient")
    assert Recipe.objects.get(dish=dish).unread[0]["done"] == "ingredient"


def test_a_line_with_new_words_is_read_anew():
    dish = dish_read()
    rows = ingredient_rows(dish.recipe)
    rows[0] |= {"text": "600 g white beans"}
    rows.append({"text": "2 lemons", "quantity": None, "unit": "", "name": "", "section": "To serve", "place": None})
    corrected(dish, ingredients=rows)
    lines = ingredients_of(Recipe.objects.get(dish=dish))
    assert (lines[0].quantity, lines[0].name) == (Decimal(600), "white beans")
    assert (lines[-1].quantity, lines[-1].name, lines[-1].section) == (Decimal(2), "lemons", "To serve")


def test_saving_a_recipe_as_it_is_counts_as_no_edit():
    dish = dish_read()
    assert corrected(dish).changed_parts == []
    assert corrected(dish, servings=6).changed_parts == ["title"]


def test_a_recipe_somebody_else_changed_is_not_written_over():
    dish = dish_read()
    with pytest.raises(EditedMeanwhile):
        corrected(dish, title="Other", version=7)
    with pytest.raises(EditedMeanwhile):
        write_steps(dish.recipe, lines=["Other"], version=7)


def with_unread(what="A pinch of love"):
    dish = dish_read(text=ODD)
    dish.recipe.unread = [{"what": what, "why": "It could not be read.", "done": ""}]
    dish.recipe.save()
    return dish


@pytest.mark.parametrize("way", ["ingredient", "step", "aside", "right"])
def test_what_was_not_read_is_taken_up_and_never_dropped(way):
    dish = with_unread()
    lines, steps = len(dish.recipe.ingredients), dish.recipe.steps.count()
    settle_unread(dish.recipe, place=0, what="A pinch of love", way=way)
    settle_unread(dish.recipe, place=0, what="A pinch of love", way=way)  # pressed twice
    recipe = Recipe.objects.get(dish=dish)
    assert [(each["what"], each["done"]) for each in recipe.unread] == [("A pinch of love", way)]
    assert len(recipe.ingredients) == lines + (way == "ingredient")
    assert recipe.steps.count() == steps + (way == "step")
    settle_unread(dish.recipe, place=0, what="A pinch of love", way="open")  # looked at again, and settled the same way
    settle_unread(dish.recipe, place=0, what="A pinch of love", way=way)
    recipe = Recipe.objects.get(dish=dish)
    assert len(recipe.ingredients) == lines + (way == "ingredient")
    assert recipe.steps.count() == steps + (way == "step")
    settle_unread(recipe, place=0, what="A pinch of love", way="open")
    assert Recipe.objects.get(dish=dish).unread[0]["done"] == ""


def test_a_line_that_moved_meanwhile_is_not_mistaken_for_another():
    dish = with_unread()
    for place, what in ((0, "Other"), (3, "A pinch of love"), (-1, "A pinch of love")):
        with pytest.raises(EditedMeanwhile):
            settle_unread(dish.recipe, place=place, what=what, way="aside")


# Steps by hand


def steps(dish):
    return [step.text for step in Recipe.objects.get(dish=dish).steps.all()]


GERMAN = """Zwiebelkuchen

Zwiebeln schneiden und in Butter anbraten, dann 20 Minuten ruhen lassen. Den Teig ausrollen. Bei 180 °C backen.
"""


@pytest.mark.both
def test_a_text_in_one_block_is_split_into_steps_by_hand():
    dish = dish_read(text=GERMAN)
    recipe = dish.recipe
    lines = ["Zwiebeln schneiden und in Butter anbraten.", "20 minutes ruhen lassen.", "Bei 180 °C backen."]
    assert write_steps(recipe, lines=lines, version=recipe.version) == 3
    assert steps(dish) == lines
    rest, bake = list(Recipe.objects.get(dish=dish).steps.all())[1:]
    assert (rest.minutes_from, bake.temperature_c, bake.order) == (20, 180, 3)
    assert Recipe.objects.get(dish=dish).source == GERMAN


def test_steps_written_as_lines_keep_their_minutes_and_moments():
    dish = dish_read()
    fry, _bake, _lid = (step.text for step in dish.recipe.steps.all())
    changed(dish.recipe.steps.first(), minutes_from=12, minutes_to=14)
    kept = {moment.what: moment.step.text for moment in dish.moments.filter(action__in=["fry", "uncover"])}
    lines = ["Lift the lid at the table, while the steam rises.", "Sprinkle with parsley and serve.", fry]
    write_steps(dish.recipe, lines=lines, version=dish.recipe.version)
    assert steps(dish) == lines
    assert dish.recipe.steps.get(text=fry).minutes_from == 12
    assert {moment.what: moment.step.text for moment in dish.moments.filter(action__in=["fry", "uncover"])} == {
        what: lines[0] if "lid" in what else text for what, text in kept.items()
    }
    assert dish.moments.get(action="sprinkle").step.text == lines[1]
    assert dish.moments.filter(step=None, action="bake").exists()  # its step went; it stays


def test_writing_the_same_steps_changes_nothing():
    dish = dish_read()
    write_steps(dish.recipe, lines=steps(dish), version=1)
    assert Recipe.objects.get(dish=dish).changed_parts == []


def test_a_new_line_brings_its_drafts_behind_those_before_it():
    dish = dish_read()
    lines = [steps(dish)[0], "Pour the broth over the onions.", *steps(dish)[1:]]
    write_steps(dish.recipe, lines=lines, version=dish.recipe.version)
    pour = dish.moments.get(action="pour")
    assert (pour.is_draft, pour.step.order) == (True, 2)
    orders = [moment.step.order for moment in dish.moments.select_related("step")]
    assert orders == sorted(orders)


@pytest.mark.both
def test_a_step_is_split_and_its_moments_go_with_their_words():
    dish = dish_read()
    step = dish.moments.get(action="sprinkle").step
    lines = ["Lift the lid at the table, while the steam rises.", "Sprinkle with parsley and serve."]
    parts = split_step(step, lines=lines)
    assert steps(dish)[2:] == lines
    assert dish.moments.get(action="uncover").step == parts[0]
    assert dish.moments.get(action="sprinkle").step == parts[1]
    assert [step.order for step in dish.recipe.steps.all()] == [1, 2, 3, 4]


@pytest.mark.both
def test_two_steps_are_joined_with_their_minutes_and_moments():
    dish = dish_read()
    count = dish.moments.count()
    first = join_step(dish.recipe.steps.first())
    assert (first.minutes_from, first.minutes_to, first.temperature_c) == (35, 35, 180)
    assert dish.moments.filter(step=first).count() + dish.moments.filter(step__order=2).count() == count
    with pytest.raises(NothingToJoin):
        join_step(dish.recipe.steps.last())


def test_a_step_moves_and_is_taken_out_without_losing_words_or_moments():
    dish = dish_read()
    first, second, third = steps(dish)
    count = dish.moments.count()
    move_step(dish.recipe.steps.first(), places=1)
    assert steps(dish) == [second, first, third]
    remove_step(dish.recipe.steps.first())
    assert steps(dish) == [first, third]
    assert [step.order for step in dish.recipe.steps.all()] == [1, 2]
    assert dish.moments.count() == count
    assert second in [line["what"] for line in Recipe.objects.get(dish=dish).unread]


def test_two_dishes_with_one_name_keep_their_own_recipes():
    one = dish_read()
    other = dish_read(one.shoot)
    remove_moment(other.moments.first())
    assert one.moments.count() == other.moments.count() + 1


# The studio's own words

FLASH = "Stew\n\nIngredients\n\n- 500 g beans\n\nMethod\n\n1. Flash the beans in the pan.\n"


def learn(word, action="sear", **also):
    return learn_word(word, action=action, by="Tindra Aldermoor", on=date(2026, 11, 12), **also)


@pytest.mark.both
def test_a_learnt_word_is_read_from_then_on_and_in_its_step_at_once():
    dish = dish_read(text=FLASH)
    assert whats(dish) == []
    word = learn("Flash", step=dish.recipe.steps.get())
    assert (word.word, word.taught_by, word.taught_on) == ("flash", "Tindra Aldermoor", date(2026, 11, 12))
    assert [(moment.what, moment.action, moment.is_draft) for moment in dish.moments.all()] == [
        ("Flash the beans in the pan", "sear", True)
    ]
    assert [moment.action for moment in dish_read(text=FLASH).moments.all()] == ["sear"]
    forget_word(word)
    assert not dish_read(text=FLASH).moments.exists()


FRENCH = """Soupe de courge

Ingrédients

- 1 courge

Préparation

1. Faire revenir les oignons dans le beurre pendant 10 minutes, puis ajouter la courge.
2. Verser l’eau et laisser cuire 25 minutes avec un couvercle, puis reverser dans des bols.
"""


def test_a_word_taught_in_another_language_is_read_in_that_language_again():
    dish = dish_read(text=FRENCH)
    assert whats(dish) == []
    learn("verser", "pour", step=dish.recipe.steps.last())
    drafted = whats(dish)
    assert drafted == ["Verser l’eau et laisser cuire 25 minutes avec un couvercle"]
    read_recipe_into(dish, text=FRENCH)
    assert whats(dish) == drafted
    assert whats(dish_read(text=FRENCH)) == drafted


def test_english_words_are_not_read_into_another_language():
    """*four* is an oven, *Mixer* and *boiler* are no steps of an English cook: only what was taught counts there."""
    dish = dish_read(text=FRENCH)
    add_step(dish.recipe, text="Steam and boil dans le four, avec un peu de beurre.")
    assert whats(dish) == []


def test_an_own_kind_is_found_by_its_name_in_another_language():
    add_own_kind(name="Verser", by="Tindra Aldermoor", on=date(2026, 11, 12))
    assert [moment.action[:5] for moment in dish_read(text=FRENCH).moments.all()] == ["kind-"]


def test_a_word_that_means_another_kind_is_asked_about():
    with pytest.raises(WordMeansAnother) as refused:
        learn("drizzle", "pour")
    assert (refused.value.means, refused.value.wanted) == ("drizzle", "pour")
    assert not OwnWord.objects.exists()
    learn("drizzle", "pour", is_sure=True)
    assert OwnWord.objects.get().action == "pour"
    with pytest.raises(WordMeansAnother):
        learn("drizzle", "sear")
    learn("drizzle", "sear", is_sure=True)
    assert OwnWord.objects.get().action == "sear"


@pytest.mark.parametrize("word", ["", "the", "12", "x" * 200, "sear"])
def test_a_word_that_cannot_be_learnt_is_refused(word):
    with pytest.raises(WordUnlearnable):
        learn(word)
    assert not OwnWord.objects.exists()


def test_an_own_kind_is_read_with_what_it_says():
    kind = add_own_kind(name="flash", repeat="once", peak_seconds=2, light="back", interest=5, by="", on=date(2026, 11, 12))  # fmt: skip
    learn("crinkle", kind.key)
    dish = dish_read(text=FLASH)
    moment = dish.moments.get()
    assert (moment.action, moment.repeat, moment.peak_seconds, moment.light) == (kind.key, "once", 2, "back")
    kind.visible = "edges curl"
    change_own_kind(kind, fields=["visible"], version=1)
    with pytest.raises(EditedMeanwhile):
        change_own_kind(kind, fields=["visible"], version=1)
    assert remove_own_kind(kind) == 1
    assert not OwnWord.objects.exists()
    assert dish.moments.get().what == "Flash the beans in the pan"
