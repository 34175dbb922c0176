from datetime import UTC, datetime, time

import pytest
from django.urls import reverse

from shared.links.queries import link_path
from shoots.plan.actions import make_cook_sheet_link
from shoots.plan.models import Moment, Shot
from shoots.plan.queries import shoot_for_sheets
from tests.factories.plan import BEAN_STEW, ShotFactory, dish_read, planned_shoot
from tests.factories.releases import shoot_with_cook
from tests.factories.shoots import DishFactory

pytestmark = pytest.mark.django_db


def test_a_recipe_is_pasted_talked_through_and_becomes_a_shot_list(client_for, owner):
    studio, dish = client_for(owner), DishFactory(shoot=shoot_with_cook())
    page = reverse("dish_recipe", args=[dish.pk])
    assert studio.post(page, {"text": BEAN_STEW}).url == page
    assert b"Lift the lid at the table" in studio.get(page).content
    studio.post(reverse("talk_recipe_through", args=[dish.pk]))
    studio.post(reverse("make_shot_list", args=[dish.shoot_id]))
    assert b"Lift the lid at the table" in studio.get(reverse("shot_list", args=[dish.shoot_id])).content
    assert b"At the heat" in studio.get(reverse("shoot_plan_panel", args=[dish.shoot_id])).content


def test_a_text_that_is_no_recipe_is_said_and_kept(client_for, owner):
    dish = DishFactory()
    answer = client_for(owner).post(reverse("dish_recipe", args=[dish.pk]), {"text": '{"@type": "Recipe", "na'})
    assert answer.status_code == 422
    assert b"breaks off or is damaged" in answer.content


def test_a_second_paste_asks_what_becomes_of_the_edits(client_for, owner):
    studio, dish = client_for(owner), dish_read()
    studio.post(reverse("keep_moment", args=[dish.moments.first().pk]))
    page = reverse("dish_recipe", args=[dish.pk])
    answer = studio.post(page, {"text": BEAN_STEW})
    assert answer.status_code == 422
    assert b"Nothing was read yet. Choose what becomes of it." in answer.content
    assert studio.post(page, {"text": BEAN_STEW, "edits": "keep"}).status_code == 302


def test_moments_are_added_changed_moved_and_taken_out(client_for, owner):
    studio, dish = client_for(owner), dish_read()
    studio.post(reverse("add_moment", args=[dish.pk]), {"m-what": "Maro tastes", "m-action": "", "m-step": ""})
    moment = Moment.objects.get(what="Maro tastes")
    typed = {"what": "Maro nods", "repeat": "free", "cues": ["wait"], "hazards": "steam", "prepare": "", "version": 1}
    assert studio.post(reverse("edit_moment", args=[moment.pk]), typed).status_code == 302
    assert studio.post(reverse("edit_moment", args=[moment.pk]), typed).status_code == 422  # the version is old
    studio.post(reverse("move_moment", args=[moment.pk]), {"way": "up"})
    moment.refresh_from_db()
    assert (moment.what, moment.hazards, moment.cues) == ("Maro nods", ["steam"], ["wait"])
    studio.post(reverse("remove_moment", args=[moment.pk]))
    assert not Moment.objects.filter(pk=moment.pk).exists()
    assert studio.post(reverse("add_moment", args=[dish.pk]), {"m-what": ""}).status_code == 422


def test_a_step_is_corrected_and_a_backward_range_is_said(client_for, owner):
    step = dish_read().recipe.steps.first()
    page, typed = reverse("edit_step", args=[step.pk]), {"text": step.text, "version": 1, "minutes_from": "12"}
    assert client_for(owner).post(page, {**typed, "minutes_to": "10"}).status_code == 422
    assert client_for(owner).post(page, {**typed, "minutes_to": "14"}).status_code == 302


def test_allergens_are_a_question_until_the_cook_answers(client_for, owner):
    studio, dish = client_for(owner), dish_read()
    assert b"The cook must confirm" in studio.get(reverse("dish_recipe", args=[dish.pk])).content
    path = reverse("tell_allergens", args=[dish.pk])
    assert studio.post(path, {"a-version": 1, "a-others": "milk", "a-allergens_told_by": ""}).status_code == 422
    studio.post(path, {"a-version": 1, "a-others": "milk", "a-allergens_told_by": "Maro Lantadze"})
    dish.refresh_from_db()
    assert (dish.allergens, dish.allergens_told_by) == (["milk"], "Maro Lantadze")


def test_shots_are_added_edited_moved_ticked_and_taken_off(client_for, owner):
    studio, shoot = client_for(owner), shoot_with_cook()
    add = reverse("add_shots", args=[shoot.pk])
    assert studio.post(add, {"s-titles": ""}).status_code == 422
    studio.post(add, {"s-titles": "Street at dusk\nLantern at the door", "s-dish": "", "s-stage": ""})
    first, second = shoot.shots.all()
    typed = {"title": "Street at noon", "version": 1, "is_must": "on", "planned_time": "12:30", "tries": "4"}
    assert studio.post(reverse("edit_shot", args=[first.pk]), {**typed, "tries": "0"}).status_code == 422
    assert studio.post(reverse("edit_shot", args=[first.pk]), typed).status_code == 302
    studio.post(reverse("mark_in_list", args=[shoot.pk]), {"down": first.pk})
    studio.post(reverse("mark_in_list", args=[shoot.pk]), {"done": second.pk})
    studio.post(reverse("mark_in_list", args=[shoot.pk]), {"melted": first.pk})
    assert [(shot.title, shot.state) for shot in shoot.shots.all()] == [
        ("Lantern at the door", "done"),
        ("Street at noon", "planned"),
    ]
    studio.post(reverse("remove_shot", args=[first.pk]))
    assert Shot.objects.count() == 1


def test_the_sheets_are_opened_sent_and_read_by_link(client_for, owner):
    studio, shoot = client_for(owner), planned_shoot()
    assert b"Allergens not asked yet" in studio.get(reverse("day_sheets", args=[shoot.pk])).content
    for name in ("cook_sheet_paper", "call_sheet_paper"):
        assert studio.get(reverse(name, args=[shoot.pk])).content.startswith(b"%PDF")
    assert studio.post(reverse("send_cook_sheet", args=[shoot.pk]), {"cook-email": "maro"}).status_code == 422
    assert (
        studio.post(
            reverse("send_cook_sheet", args=[shoot.pk]), {"cook-email": "maro@walnut-lantern.example"}
        ).status_code
        == 302
    )
    assert studio.post(reverse("send_call_sheet", args=[shoot.pk]), {}).status_code == 422
    people = [row.person_id for row in shoot.people.all()]
    assert studio.post(reverse("send_call_sheet", args=[shoot.pk]), {"call-people": people}).status_code == 302
    studio.post(reverse("make_cook_sheet_link", args=[shoot.pk]))
    studio.post(reverse("call_back_cook_sheet", args=[shoot.pk]))
    link = make_cook_sheet_link(shoot_for_sheets(shoot.pk).get(), at=datetime.now(UTC))
    stranger = client_for(None)
    assert "Deckel ab." in stranger.get(link_path(link)).content.decode()
    assert stranger.get(link_path(link) + "paper/").content.startswith(b"%PDF")


@pytest.mark.parametrize(
    "name", ["shot_list", "shoot_plan_panel", "day_sheets", "cook_sheet_paper", "call_sheet_paper"]
)
def test_strangers_and_the_accountant_are_refused(client_for, accountant, name):
    path = reverse(name, args=[planned_shoot().pk])
    assert client_for(None).get(path).status_code == 302
    assert client_for(accountant).get(path).status_code == 403


def test_the_sheets_of_a_day_stay_open_when_the_key_of_a_link_is_lost(client_for, owner, settings):
    shoot = planned_shoot()
    make_cook_sheet_link(shoot_for_sheets(shoot.pk).get(), at=datetime.now(UTC))
    settings.SECRET_KEY = "the books were restored without their key"
    page = client_for(owner).get(reverse("day_sheets", args=[shoot.pk])).content.decode()
    assert "can no longer be shown" in page
    assert "Make a new link" in page


def test_short_of_time_the_unasked_are_left_and_taken_up_again(client_for, owner):
    studio = client_for(owner)
    shoot = planned_shoot(from_time=time(9), until_time=time(10), last_on=None)
    path = reverse("shot_list", args=[shoot.pk])
    said = studio.get(path).content.decode()
    assert "Short of time" in said
    assert "Nobody asked for these" in said
    studio.post(reverse("leave_unasked_shots", args=[shoot.pk]))
    said = studio.get(path).content.decode()
    assert "left for want of time" in said
    assert "Nobody asked for" not in said
    studio.post(reverse("take_up_shots", args=[shoot.pk]))
    assert not shoot.shots.exclude(state="planned").exists()


def test_an_advertising_shoot_asks_what_was_substituted_until_it_is_answered(client_for, owner):
    studio, shoot = client_for(owner), planned_shoot(use_classes=["advertising"])
    path = reverse("shot_list", args=[shoot.pk])
    assert "2 shots without an answer" in studio.get(path).content.decode()
    hero, above = shoot.shots.filter(kind__startswith="hero")
    studio.post(reverse("mark_in_list", args=[shoot.pk]), {"all_real": hero.pk})
    edit = reverse("edit_shot", args=[above.pk])
    assert "Product, portion and ingredients are the real ones" in studio.get(edit).content.decode()
    typed = {
        "title": above.title,
        "dish": above.dish_id,
        "version": 1,
        "substitution": "something",
        "substituted_what": "Ice",
    }
    assert studio.post(edit, typed).status_code == 422
    assert studio.post(edit, {**typed, "substituted_by": "acrylic", "substituted_why": "it melts"}).status_code == 302
    said = studio.get(path).content.decode()
    assert "without an answer" not in said
    assert "Substituted: Ice, by acrylic: it melts" in said
    assert "Nothing substituted" in said


def test_a_mark_for_a_shot_of_another_shoot_is_not_found(client_for, owner):
    shoot, other = planned_shoot(), ShotFactory()
    assert client_for(owner).post(reverse("mark_in_list", args=[shoot.pk]), {"done": other.pk}).status_code == 404
