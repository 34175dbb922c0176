from shoots.plan.moments import draft_moments
from shoots.plan.queries import kitchen_lexicon
from shoots.plan.recipe import read_recipe
from shoots.plan.shots import draft_day_shots, draft_shots
from studio.demo.recipes import BEAN_STEW, LEEK_ROLLS


def shots_of(text):
    return draft_shots(draft_moments(read_recipe(text).steps, kitchen_lexicon()))


def test_a_dish_has_its_always_wanted_pictures_in_the_order_they_are_taken():
    kinds = [shot.kind for shot in shots_of(BEAN_STEW) if shot.kind != "moment"]
    assert kinds == [
        "ingredients",
        "empty set",
        "hero three-quarter",
        "safety frame",
        "hero from above",
        "detail",
        "first cut",
    ]


def test_moments_stand_between_the_ingredients_and_the_empty_set():
    titles = [shot.title for shot in shots_of(LEEK_ROLLS)]
    assert titles[:4] == ["Ingredients laid out", "Trim the leeks", "Pull the layers apart", "Roll it up tightly"]


def test_a_moment_of_highest_interest_is_a_must_and_the_others_nice():
    wanted = {shot.action_id: shot.wanted for shot in shots_of(LEEK_ROLLS) if shot.kind == "moment"}
    assert wanted == {"cut": "nice", "tear": "must", "wrap": "nice", "sprinkle": "must", "garnish": "must"}


def test_without_hands_at_work_a_picture_of_hands_is_asked_for():
    assert "hands" in [shot.kind for shot in draft_shots(())]
    assert "hands" not in [shot.kind for shot in shots_of(LEEK_ROLLS)]


def test_the_day_begins_with_the_grey_card_at_each_light_and_ends_with_the_cook():
    shots = draft_day_shots(cook="Maro Lantadze", lights=("window", "lamp"))
    assert [shot.title for shot in shots] == [
        "Grey card, window",
        "Grey card, lamp",
        "The room",
        "Portrait of Maro Lantadze",
    ]
