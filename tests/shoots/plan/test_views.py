from datetime import UTC, datetime, time

import pytest
from django.urls import reverse

from clients.models import Person
from shared.links.models import PrivateLink
from shared.links.queries import link_path
from shared.outbox.models import Message
from shoots.plan.actions import make_cook_sheet_link
from shoots.plan.models import Shot
from shoots.plan.queries import shoot_for_sheets
from tests.factories.plan import ShotFactory, planned_shoot
from tests.factories.releases import shoot_with_cook

pytestmark = pytest.mark.django_db


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


def test_a_promised_picture_whose_only_shot_is_skipped_is_flagged(client_for, owner):
    studio, shoot = client_for(owner), planned_shoot()
    shot = shoot.shots.get(agreed_pictures__isnull=False)

    def page():
        return studio.get(reverse("shot_list", args=[shoot.pk])).content.decode()

    assert "Every shot skipped" not in page()
    studio.post(reverse("mark_in_list", args=[shoot.pk]), {"skipped": shot.pk})
    assert "Every shot skipped" in page()
    assert "1 promised picture without a shot." in page()
    assert "Every moment worth a picture and every promised picture has its shot" not in page()


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


def test_a_sheet_that_is_too_long_says_so_and_offers_the_must_haves(client_for, owner):
    studio = client_for(owner)
    shoot = planned_shoot(3)
    shoot.shots.filter(title__startswith="Fry the onions").update(is_must=False)
    said = studio.get(reverse("cook_sheet_length_panel", args=[shoot.pk])).content.decode()
    assert "Too long" in said
    assert "Only nice to have: Fry the onions" in said
    assert f"{reverse('cook_sheet_paper', args=[shoot.pk])}?part=2" in said
    part = studio.get(reverse("cook_sheet_paper", args=[shoot.pk]), {"part": "2"})
    assert part["Content-Disposition"].endswith('-2.pdf"')
    assert studio.get(reverse("cook_sheet_paper", args=[shoot.pk]), {"part": "99"}).content.startswith(b"%PDF")
    studio.post(reverse("choose_cook_sheet", args=[shoot.pk]), {"show": "musts"})
    said = studio.get(reverse("cook_sheet_length_panel", args=[shoot.pk])).content.decode()
    assert "Show all moments" in said
    studio.post(reverse("choose_cook_sheet", args=[shoot.pk]), {"show": "all"})
    assert (
        "Show the must-haves only" in studio.get(reverse("cook_sheet_length_panel", args=[shoot.pk])).content.decode()
    )


def test_a_cook_of_another_language_is_sent_the_letter_in_theirs_and_the_sheet_in_the_one_of_the_stove(
    client_for, owner
):
    studio = client_for(owner)
    shoot = planned_shoot(1)
    Person.objects.filter(name="Maro Lantadze").update(kitchen_language="sv")
    said = studio.get(reverse("day_sheets", args=[shoot.pk])).content.decode()
    assert "in Swedish and the studio’s language" in said
    assert "need a native speaker" in said
    studio.post(reverse("send_cook_sheet", args=[shoot.pk]), {"cook-email": "maro@walnut-lantern.example"})
    mail = Message.objects.get()
    assert "Your sheet for the pictures" not in mail.subject  # the letter is German
    link = PrivateLink.objects.get()
    said = client_for(None).get(link_path(link)).content.decode()
    for words in ("Blad till köket", "Av med locket.", "Het ånga", "Lid off."):
        assert words in said


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


@pytest.mark.django_db(transaction=True)
def test_a_press_in_the_list_counts_at_once_beside_it_too(live_server, signed_in_page):
    watched = signed_in_page
    watched.set_default_timeout(8_000)
    shoot = planned_shoot()
    promised = shoot.shots.get(agreed_pictures__isnull=False)
    watched.goto(f"{live_server.url}{reverse('shot_list', args=[shoot.pk])}")
    counts = watched.locator("#counts")
    before = counts.inner_text()
    assert "skipped" not in before
    watched.locator(f"#skip-{promised.pk}").click()
    watched.get_by_text("Every shot skipped").wait_for()
    assert "1 skipped" in counts.inner_text()
    watched.locator(f"#done-{shoot.shots.get(kind='ingredients').pk}").click()
    watched.locator("#bench").get_by_text("Done", exact=True).wait_for()
    assert counts.inner_text().startswith("1 of ")
