import pytest
from django.urls import reverse

from shoots.plan.actions import tell_allergens
from shoots.safety.models import FoodOut, SafetyTick
from tests.factories.safety import safe_shoot
from tests.factories.shoots import ShootFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def studio(client_for, assistant):
    return client_for(assistant)


def page(studio, shoot, name="shoot_safety"):
    answer = studio.get(reverse(name, args=[shoot.pk]))
    assert answer.status_code == 200
    return " ".join(answer.content.decode().split())


def test_the_page_shows_table_caution_minutes_hazards_and_calls(studio):
    shoot = safe_shoot()
    said = page(studio, shoot)
    for words in (
        "Read from the recipe by a word list. Check with the cook and the labels. Not a declaration.", "Contains by name", "Not asked yet", "7 of Annex II",
        "Planned: out of the heat or the fridge", "Not for eating once handled on set, unless the cook says so.", "FDA Food Code 3-501.19(B)", "Oven mouth, 250 °C, at hip height", "“Messer”: eine Klinge kommt",
        "Counterweight or sandbag on the stand", "Grey card or colour target",
    ):  # fmt: skip
        assert words in said, words


def test_a_difference_is_said_on_page_and_panel(studio):
    shoot = safe_shoot()
    dish = shoot.dishes.get()
    tell_allergens(dish, allergens=["eggs"], told_by="Maro Lantadze", version=dish.version)
    assert "The recipe names milk (“butter”); Maro Lantadze did not tell milk: ask." in page(studio, shoot)
    assert "Recipe and cook differ: Bean stew in clay 1" in page(studio, shoot, "shoot_safety_panel")


def test_lines_are_ticked_by_name_and_taken_back(studio):
    shoot = safe_shoot()
    path = reverse("tick_safety", args=[shoot.pk])
    studio.post(path, {"list": "rig", "rig-items": ["lamps", "cables"], "rig-name": "Jorun", "how": "done"})
    studio.post(path, {"list": "rig", "rig-items": ["arm"], "rig-name": "Jorun", "how": "not_here"})
    said = page(studio, shoot)
    assert "Not on this set." in said
    assert said.count("Jorun,") == 3
    assert "3 of" in page(studio, shoot, "shoot_safety_panel")
    studio.post(reverse("take_back_tick", args=[SafetyTick.objects.get(item="arm").pk]))
    assert page(studio, shoot).count("Jorun,") == 2


def test_a_tick_without_a_name_keeps_what_was_ticked(studio):
    shoot = safe_shoot()
    answer = studio.post(
        reverse("tick_safety", args=[shoot.pk]), {"list": "frame", "frame-items": ["grey"], "frame-name": ""}
    )
    assert answer.status_code == 422
    said = answer.content.decode()
    assert "the name is missing" in said
    assert 'value="grey"' in said
    assert "checked" in said
    assert not SafetyTick.objects.exists()


def test_the_light_changed_and_the_list_is_open_again(studio):
    shoot = safe_shoot()
    studio.post(
        reverse("tick_safety", args=[shoot.pk]), {"list": "frame", "frame-items": ["grey"], "frame-name": "Jorun"}
    )
    studio.post(reverse("begin_light", args=[shoot.pk]))
    said = page(studio, shoot)
    assert "First frame at light 2" in said
    assert "Light 1: 1 of 4 ticked." in said


def test_food_put_out_runs_and_is_taken_back(studio):
    shoot = safe_shoot()
    studio.post(reverse("put_food_out", args=[shoot.dishes.get().pk]))
    assert "0 minutes until now" in page(studio, shoot)
    studio.post(reverse("take_back_food_out", args=[FoodOut.objects.get().pk]))
    assert "On the day:" not in page(studio, shoot)


def test_the_paper_comes_in_both_languages(studio):
    shoot = safe_shoot()
    for language in ("en", "de", "xx"):
        answer = studio.get(reverse("safety_paper", args=[shoot.pk]) + f"?language={language}")
        assert answer["Content-Type"] == "application/pdf"
        assert answer.content.startswith(b"%PDF")


def test_an_empty_shoot_says_so(studio):
    said = page(studio, ShootFactory(kitchen=None))
    assert "No dish is named yet." in said
    assert "No kitchen is named yet." in said
    page(studio, ShootFactory(kitchen=None), "shoot_safety_panel")
