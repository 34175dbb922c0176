import pytest
from django.urls import reverse

from shoots.brief.models import ShootState
from shoots.day.models import Take
from tests.factories.plan import planned_shoot

pytestmark = pytest.mark.django_db


def test_one_shot_at_a_time_with_its_cue_in_two_languages(client_for, assistant):
    shoot = planned_shoot()
    shot = shoot.shots.get(title="Lift the lid at the table")
    said = client_for(assistant).get(reverse("on_set", args=[shoot.pk]) + f"?shot={shot.pk}").content.decode()
    assert "Wait." in said
    assert "Warten. Deckel ab." in said
    assert "Steam." in said
    assert said.count('class="btn main act"') == 1


def test_done_leads_to_the_next_again_stays_and_undo_comes_back(client_for, owner):
    studio, shoot = client_for(owner), planned_shoot()
    first, second = shoot.shots.all()[:2]
    page = reverse("on_set", args=[shoot.pk])
    answer = studio.post(reverse("press_take", args=[first.pk]), {"outcome": "done"})
    assert answer.url == f"{page}?after={first.pk}"
    assert f"<h1>{second.title}</h1>" in studio.get(answer.url).content.decode()
    answer = studio.post(reverse("undo_take", args=[Take.objects.get().pk]))
    assert f"<h1>{first.title}</h1>" in studio.get(answer.url).content.decode()
    first.refresh_from_db()
    assert first.state == "planned"


def test_an_ok_needs_a_name(client_for, owner):
    studio, shot = client_for(owner), planned_shoot().shots.first()
    assert (
        "the name is missing"
        in studio.post(reverse("ok_shot", args=[shot.pk]), {"name": ""}, follow=True).content.decode()
    )
    studio.post(reverse("ok_shot", args=[shot.pk]), {"name": "Maro Lantadze"})
    shot.refresh_from_db()
    assert shot.okd_by == "Maro Lantadze"
    studio.post(reverse("take_back_ok", args=[shot.pk]))
    shot.refresh_from_db()
    assert shot.okd_by == ""


def test_the_end_of_the_day_names_what_was_promised_and_not_taken(client_for, owner):
    shoot = planned_shoot(state=ShootState.CONFIRMED)
    shoot.shots.exclude(title="Hero, from above").update(state="done")
    shoot.shots.filter(title="Hero, from above").update(state="skipped")
    said = client_for(owner).get(reverse("on_set", args=[shoot.pk])).content.decode()
    assert "Promised and not taken" in said
    assert "Bean stew from above" in said
    assert "Mark the shoot as shot" in said


def test_strangers_and_the_accountant_are_refused(client_for, accountant):
    path = reverse("on_set", args=[planned_shoot().pk])
    assert client_for(None).get(path).status_code == 302
    assert client_for(accountant).get(path).status_code == 403
