from shoots.plan.models import ShotKind
from shoots.plan.moments import draft_moments
from shoots.plan.queries import cue_words, kitchen_lexicon
from shoots.plan.recipe import read_recipe
from shoots.plan.shots import draft_day_shots, draft_shots, hazard_words
from studio.demo.recipes import BEAN_STEW, LEEK_ROLLS

FLAMED = "Pear\n\nIngredients\n- 2 pears\n\nMethod\n1. Melt the sugar.\n2. Flambé the pears.\n3. Carve the loaf.\n"
TWICE = "Loaf\n\nIngredients\n- dough\n\nMethod\n1. Knead the dough.\n2. Knead the dough.\n"


def shots_of(text):
    return draft_shots(draft_moments(read_recipe(text).steps, kitchen_lexicon()))


def kinds_of(text):
    return [shot.kind for shot in shots_of(text)]


def test_a_dish_has_its_always_wanted_pictures_in_the_order_they_are_taken():
    assert [kind for kind in kinds_of(BEAN_STEW) if kind != "moment"] == [
        "ingredients",
        "empty set",
        "hero",
        "safety",
        "hero above",
        "safety above",
        "detail",
        "first cut",
    ]


def test_each_hero_is_followed_by_a_frame_wider_than_its_crop():
    shots = {shot.kind: shot for shot in shots_of(BEAN_STEW)}
    for hero, safety in (("hero", "safety"), ("hero above", "safety above")):
        assert shots[hero].angle == shots[safety].angle
        assert shots[hero].frame_mm is None
        assert shots[safety].frame_mm > 280 * 1.35


def test_moments_stand_between_the_ingredients_and_the_empty_set():
    titles = [shot.title for shot in shots_of(LEEK_ROLLS)]
    assert titles[:4] == ["Ingredients laid out", "Trim the leeks", "Pull the layers apart", "Roll it up tightly"]


def test_what_finishes_the_dish_on_its_plate_comes_after_the_empty_set():
    titles = [shot.title for shot in shots_of(LEEK_ROLLS)]
    empty = titles.index("Empty set")
    assert titles[empty + 1 : empty + 4] == [
        "Scatter with pomegranate seeds",
        "Crown each roll with half a walnut",
        "Hero, three-quarter",
    ]


def test_a_dish_that_is_carved_ends_with_the_carving():
    assert "first cut" not in kinds_of(FLAMED)
    assert shots_of(FLAMED)[-1].action_id == "carve"


def test_a_dimmed_key_light_has_its_own_grey_card_before_the_flame():
    titles = [shot.title for shot in shots_of(FLAMED)]
    assert titles.index("Grey card, key light dimmed") == titles.index("Flambé the pears") - 1
    assert "grey card" not in kinds_of(BEAN_STEW)


def test_a_moment_brings_its_light_motion_cues_hazard_and_what_to_hold_back():
    [shot] = [each for each in shots_of(BEAN_STEW) if each.action_id == "fry"]
    fry = kitchen_lexicon().action("fry")
    assert (shot.angle, shot.distance, shot.motion, shot.light) == (fry.angle, fry.distance, fry.motion, fry.light)
    assert (shot.cues, shot.hazard) == (fry.cues, "Hot oil, splash")
    assert shot.keep_back == "; ".join(fry.prepare)


def test_two_moments_in_the_same_words_are_told_apart():
    titles = [shot.title for shot in shots_of(TWICE) if shot.kind == "moment"]
    assert titles == ["Knead the dough", "Knead the dough, second time"]


def test_a_moment_of_highest_interest_is_a_must_and_the_others_nice():
    wanted = {shot.action_id: shot.wanted for shot in shots_of(LEEK_ROLLS) if shot.kind == "moment"}
    assert wanted == {"cut": "nice", "tear": "must", "wrap": "nice", "sprinkle": "must", "garnish": "must"}


def test_without_hands_at_work_a_picture_of_hands_is_asked_for():
    assert "hands" in [shot.kind for shot in draft_shots(())]
    assert "hands" not in kinds_of(LEEK_ROLLS)


def test_the_day_begins_with_the_grey_card_at_each_light_and_ends_with_the_cook():
    shots = draft_day_shots(cook="Maro Lantadze", lights=("window", "lamp"))
    assert [shot.title for shot in shots] == [
        "Grey card, window",
        "Grey card, lamp",
        "The room",
        "Portrait of Maro Lantadze",
    ]


def test_every_kind_and_cue_named_here_is_in_the_lists():
    shots = [*draft_shots(()), *draft_day_shots(), *shots_of(FLAMED)]
    assert {shot.kind for shot in shots} <= set(ShotKind.values)
    assert {cue for shot in shots for cue in shot.cues} <= set(cue_words())


def test_a_hazard_says_the_temperature_only_where_something_is_hot():
    assert hazard_words(("hot oil", "splash"), 180) == "Hot oil, splash, 180 °C"
    assert hazard_words(("blade",), 180) == "Blade"
    assert hazard_words(()) == ""
