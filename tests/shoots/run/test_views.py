import pytest
from django.urls import reverse

from shoots.run.models import Run
from tests.factories.plan import planned_shoot

pytestmark = pytest.mark.django_db


def test_the_run_is_seen_improved_changed_and_written_onto_the_shots(client_for, owner):
    studio, shoot = client_for(owner), planned_shoot(1)
    page = reverse("run_of_day", args=[shoot.pk])
    said = studio.get(page).content.decode()
    assert "This is the first plan." in said
    assert "Plating and hero: Bean stew in clay 1" in said
    assert Run.objects.count() == 0  # looking writes nothing
    assert studio.post(reverse("improve_run", args=[shoot.pk]), follow=True).status_code == 200
    key = f"hero:{shoot.dishes.get().pk}"
    change = reverse("edit_run_activity", args=[shoot.pk, key])
    assert studio.get(change).status_code == 200
    answer = studio.post(change, {"pinned": "soon", "minutes": "50"})
    assert answer.status_code == 422
    assert 'value="soon"' in answer.content.decode()
    studio.post(change, {"pinned": "12:30", "minutes": "50"})
    said = studio.get(page).content.decode()
    assert "12:30–13:20" in said
    assert "Your time" in said
    studio.post(reverse("unpin_run_activity", args=[shoot.pk, key]))
    assert "Your time" not in studio.get(page).content.decode()
    studio.post(reverse("write_run_times", args=[shoot.pk]))
    assert not shoot.shots.filter(planned_time=None).exists()
    assert studio.get(reverse("edit_run_activity", args=[shoot.pk, "hero:0"])).status_code == 404


def test_what_the_day_reckons_with_is_changed_once(client_for, owner):
    studio, shoot = client_for(owner), planned_shoot(1)
    page = reverse("edit_run", args=[shoot.pk])
    typed = {
        "version": 1,
        "first_set": 50,
        "strike": 30,
        "break_minutes": 30,
        "slack_percent": 15,
        "ovens": 1,
        "burners": 4,
    }
    assert studio.post(page, {**typed, "ovens": 0}).status_code == 422
    assert studio.post(page, typed).status_code == 302
    assert studio.post(page, typed).status_code == 422  # the version is old
    assert Run.objects.get().first_set == 50


def test_paper_and_calendar_are_handed_out_to_the_studio_only(client_for, owner, accountant):
    shoot = planned_shoot(1)
    studio = client_for(owner)
    assert studio.get(reverse("run_paper", args=[shoot.pk])).content.startswith(b"%PDF")
    answer = studio.get(reverse("run_calendar", args=[shoot.pk]))
    assert answer["Content-Type"] == "text/calendar; charset=utf-8"
    assert answer.content.startswith(b"BEGIN:VCALENDAR\r\n")
    assert answer.content.count(b"BEGIN:VEVENT") == len(set(answer.content.split(b"UID:"))) - 1
    for name in ("run_of_day", "run_paper", "run_calendar"):
        assert client_for(None).get(reverse(name, args=[shoot.pk])).status_code == 302
        assert client_for(accountant).get(reverse(name, args=[shoot.pk])).status_code == 403


@pytest.mark.django_db(transaction=True)
def test_the_run_is_used_by_keyboard(signed_in_page, live_server):
    page, shoot = signed_in_page, planned_shoot(1)
    page.goto(live_server.url + reverse("run_of_day", args=[shoot.pk]))
    page.get_by_role("button", name="Look for a better plan").press("Enter")
    page.get_by_text("Kept on").wait_for()
    page.get_by_role("link", name="Change First set").press("Enter")
    page.get_by_label("Begins at").fill("9:15")
    page.get_by_label("Minutes it takes").fill("30")
    page.keyboard.press("Enter")
    page.get_by_text("Your time").wait_for()
    assert page.get_by_text("09:15–09:45").count() == 1
