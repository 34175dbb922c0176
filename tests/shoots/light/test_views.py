from datetime import date

import pytest
from django.urls import reverse

from shoots.light.models import Camera, OwnLens, WindowMeasures
from tests.factories.light import lit_shoot, set_up
from tests.factories.plan import ShotFactory
from tests.shoots.light.test_forms import TYPED

pytestmark = pytest.mark.django_db


def page(client, name, shoot, query="", status=200):
    answer = client.get(reverse(name, args=[shoot.pk]) + query)
    assert answer.status_code == status
    return answer.content.decode()


def test_the_light_of_a_day(client_for, assistant):
    said = page(client_for(assistant), "shoot_light", lit_shoot(), "?minute=720")
    assert "Saturday 14\N{NO-BREAK SPACE}November 2026" in said
    assert "12:00: the sun is 17° high in the south" in said
    assert 'class="patch"' in said
    assert "Caution" in said
    assert "magnetic north" in said


def test_hours_are_links_and_the_slider_a_plain_form(client_for, owner):
    said = page(client_for(owner), "shoot_light", lit_shoot())
    assert '<input class="in" type="range" id="minute" name="minute"' in said
    assert "minute=720" in said
    assert "<button" in said


@pytest.mark.parametrize(
    "query", ["?minute=x", "?minute=-1", "?day=yesterday", "?day=2026-13-45&minute=99999999999", "?minute=²"]
)
def test_an_odd_address_is_answered(client_for, owner, query):
    page(client_for(owner), "shoot_light", lit_shoot(), query)


def test_another_day_of_the_shoot(client_for, owner):
    shoot = lit_shoot(last_on=date(2026, 11, 15))
    assert "Sunday 15\N{NO-BREAK SPACE}November 2026" in page(
        client_for(owner), "shoot_light", shoot, "?day=2026-11-15"
    )


def test_no_window_no_position_no_kitchen_no_date(client_for, owner):
    studio = client_for(owner)
    assert "Write down the windows" in page(studio, "shoot_light", lit_shoot(windows=0))
    said = page(studio, "shoot_light", lit_shoot(kitchen__latitude=None))
    assert "Write down the kitchen’s position" in said
    assert "room side" in said  # still useful
    assert "Stand on the room side, facing the window." in said
    undated = page(studio, "shoot_light", lit_shoot(first_on=None))
    assert "Set the date" in undated
    homeless = lit_shoot()
    homeless.kitchen = None
    homeless.save()
    said = page(studio, "shoot_light", homeless)
    assert "Choose the kitchen" in said
    assert "By the lamp, at 10 o’clock on the plan" in said
    for name in ("three_hours", "shoot_light_panel", "edit_light", "shoot_lens"):
        page(studio, name, homeless)


@pytest.mark.parametrize(
    ("values", "says"),
    [
        ({"kind": "lamp", "lamp_hour": 8}, "By the lamp, at 8 o’clock on the plan"),
        ({"kind": "overcast"}, "Closed sky: soft light"),
        ({"building_degrees": 90}, "The window faces a wall: no sun, and little light"),
    ],
)
def test_lamp_cloud_and_wall(client_for, owner, values, says):
    shoot = lit_shoot()
    set_up(shoot, **values)
    assert says in page(client_for(owner), "shoot_light", shoot)
    assert says in page(client_for(owner), "three_hours", shoot)


@pytest.mark.parametrize(
    ("place", "day", "says"),
    [
        (("-33.9", "18.4", "Africa/Johannesburg"), date(2026, 6, 21), "No sun in this window all day"),
        (("69.65", "18.96", "Europe/Oslo"), date(2027, 6, 21), "The sun does not set."),
        (("54.35", "10.16", "Europe/Berlin"), date(2027, 3, 28), "The clocks go forward on this day: it has 23 hours."),
        (("54.35", "10.16", "Europe/Berlin"), date(2026, 10, 25), "The clocks go back on this day: it has 25 hours."),
    ],
)
def test_the_south_the_polar_day_and_the_days_the_clocks_change(client_for, owner, place, day, says):
    latitude, longitude, zone = place
    shoot = lit_shoot(
        kitchen__latitude=latitude, kitchen__longitude=longitude, kitchen__time_zone=zone, first_on=day, bearing=180
    )
    said = page(client_for(owner), "shoot_light", shoot, "?minute=720")
    assert says in said
    assert "circle" in said
    page(client_for(owner), "three_hours", shoot)


def test_in_the_south_a_north_window_has_the_noon_sun(client_for, owner):
    cape = {
        "kitchen__latitude": "-33.9",
        "kitchen__longitude": "18.4",
        "kitchen__time_zone": "Africa/Johannesburg",
        "first_on": date(2026, 6, 21),
    }
    said = page(client_for(owner), "shoot_light", lit_shoot(**cape, bearing=0), "?minute=720")
    assert "12:00: the sun is 32° high in the north" in said
    assert "hard light on the table" in said


def test_each_day_of_a_shoot_can_be_chosen_on_the_light_and_on_the_three_hours(client_for, owner):
    shoot = lit_shoot(last_on=date(2026, 11, 23))
    for name in ("shoot_light", "three_hours"):
        said = page(client_for(owner), name, shoot, "?day=2026-11-23")
        assert said.count('href="?day=2026-11-') >= 10
        assert 'href="?day=2026-11-23" aria-current="page"' in said


def test_polar_night(client_for, owner):
    shoot = lit_shoot(
        kitchen__latitude="78.2",
        kitchen__longitude="15.6",
        kitchen__time_zone="Europe/Oslo",
        first_on=date(2026, 12, 21),
    )
    for name in ("shoot_light", "three_hours", "shoot_light_panel"):
        assert "The sun does not rise" in page(client_for(owner), name, shoot)


def test_three_hours_side_by_side(client_for, owner):
    said = page(client_for(owner), "three_hours", lit_shoot(shots=3))
    assert said.count('<svg class="room"') == 3
    assert "Back light" in said


def test_the_set_up_is_saved_and_a_stale_one_is_kept_on_the_page(client_for, owner):
    studio, shoot = client_for(owner), lit_shoot()
    path = reverse("edit_light", args=[shoot.pk])
    assert studio.post(path, TYPED).url == reverse("shoot_light", args=[shoot.pk])
    assert WindowMeasures.objects.get().sill_cm == 80
    answer = studio.post(path, {**TYPED, "window180_1_sill_cm": 33})
    assert answer.status_code == 422
    said = answer.content.decode()
    assert "Someone changed this" in said
    assert 'value="33"' in said
    answer = studio.post(path, {**TYPED, "window180_1_sill_cm": 33, "version": 2})
    assert answer.status_code == 302
    assert studio.post(path, {**TYPED, "version": 3, "window180_1_head_cm": "10"}).status_code == 422


def test_the_lens_says_its_sums(client_for, owner):
    said = page(client_for(owner), "shoot_lens", lit_shoot())
    assert "891 mm" in said
    assert "fits, with 499 mm to spare" in said
    assert "f (2 + m + 1/m)" in said
    too_long = page(client_for(owner), "shoot_lens", lit_shoot(), "?focal_length=90")
    assert "too long by 213 mm" in too_long


def test_the_lens_keeps_what_was_typed_when_it_cannot_be(client_for, owner):
    said = page(client_for(owner), "shoot_lens", lit_shoot(), "?focal_length=fifty", status=422)
    assert 'value="fifty"' in said
    assert "Nothing is reckoned yet" in said


def test_the_shot_list_and_the_shoot_lead_here(client_for, owner):
    shoot = lit_shoot(state="confirmed")
    assert reverse("shoot_light", args=[shoot.pk]) in page(client_for(owner), "shot_list", shoot)
    assert reverse("shoot_light_panel", args=[shoot.pk]) in page(client_for(owner), "shoot_page", shoot)


def test_strangers_and_the_accountant_are_refused(client_for, accountant):
    shoot = lit_shoot()
    for name in ("shoot_light", "three_hours", "edit_light", "shoot_lens"):
        path = reverse(name, args=[shoot.pk])
        assert client_for(None).get(path).status_code == 302
        assert client_for(accountant).get(path).status_code == 403


@pytest.mark.django_db(transaction=True)
def test_the_slider_moves_the_sun_by_keyboard(watched, live_server, sign_in, owner):
    shoot = lit_shoot()
    sign_in(watched, owner)
    watched.goto(live_server.url + reverse("shoot_light", args=[shoot.pk]) + "?minute=660")
    before = watched.locator("circle.sun").first.get_attribute("cx")
    slider = watched.locator("#minute")
    slider.focus()
    for _ in range(4):
        watched.keyboard.press("ArrowRight")
    watched.get_by_text("12:00: the sun is").wait_for()
    assert slider.get_attribute("aria-valuetext") == "12:00"
    assert watched.locator("#clock").inner_text() == "12:00"
    assert watched.locator("#now circle.sun").get_attribute("cx") != before
    assert watched.evaluate("document.activeElement.id") == "minute"
    assert "minute=720" in watched.url


@pytest.mark.django_db(transaction=True)
def test_the_hours_work_without_javascript(browser, live_server, sign_in, owner, browser_context_args):
    context = browser.new_context(**browser_context_args, java_script_enabled=False)
    page = sign_in(context.new_page(), owner)
    shoot = lit_shoot()
    page.goto(live_server.url + reverse("shoot_light", args=[shoot.pk]))
    page.get_by_role("link", name="13:00").click()
    assert "13:00: the sun is" in page.locator("#now").inner_text()
    page.locator("#minute").fill("720")
    page.get_by_role("button", name="Show").click()
    assert "12:00: the sun is" in page.locator("#now").inner_text()
    context.close()


# What the studio shoots with, and the lens of each shot


def test_the_kit_is_written_down_changed_and_emptied(client_for, owner):
    studio = client_for(owner)
    assert "36 × 24 mm is assumed" in studio.get(reverse("kit")).content.decode()
    camera = {"c-version": 1, "c-name": "Main body", "c-long_mm": "36", "c-short_mm": "24", "c-pixels": "8256"}
    answer = studio.post(reverse("add_camera"), {**camera, "c-pixels": "3"})
    assert (answer.status_code, b"Main body" in answer.content) == (422, True)
    assert studio.post(reverse("add_camera"), camera).url == reverse("kit")
    assert studio.post(reverse("add_lens"), {"l-version": 1, "l-shortest_mm": ""}).status_code == 422
    assert studio.post(reverse("add_lens"), {"l-version": 1, "l-shortest_mm": "50"}).status_code == 302
    assert "Main body is reckoned with, and 1 lens." in studio.get(reverse("kit")).content.decode()
    lens = reverse("edit_lens", args=[OwnLens.objects.get().pk])
    typed = {"version": 1, "shortest_mm": "50", "longest_mm": "85", "name": ""}
    assert studio.post(lens, typed).status_code == 302
    stale = studio.post(lens, typed)
    assert (stale.status_code, b"Someone changed this" in stale.content) == (422, True)
    assert OwnLens.objects.get().name == "50–85 mm"
    assert studio.get(reverse("edit_camera", args=[Camera.objects.get().pk])).status_code == 200
    studio.post(reverse("remove_lens", args=[OwnLens.objects.get().pk]))
    studio.post(reverse("remove_camera", args=[Camera.objects.get().pk]))
    assert not Camera.objects.exists()
    assert not OwnLens.objects.exists()


def test_the_lens_of_each_shot_and_of_one(client_for, owner):
    studio, shoot = client_for(owner), lit_shoot(shots=0)
    assert "No shot is planned yet." in page(studio, "shots_lens", shoot)
    shot = ShotFactory(shoot=shoot, title="Oil falls", angle="overhead", distance="wide", motion="freeze")
    said = page(studio, "shots_lens", shoot)
    assert "Every planned shot has a lens that fits this room." in said
    assert "Oil falls" in said
    assert "Too long: 50 mm, by" in said
    assert "A usual lens fits the room" in page(studio, "shots_lens_panel", shoot)
    assert "Too long: 50 mm, by" in studio.get(reverse("shot_lens_panel", args=[shot.pk])).content.decode()
    assert "For “Oil falls”." in page(studio, "shoot_lens", shoot, f"?shot={shot.pk}")
    assert "For “" not in page(studio, "shoot_lens", shoot, "?shot=nobody")
    set_up(shoot, ceiling_cm=160, table_cm=90)
    assert "1 shot has no lens that fits this room." in page(studio, "shots_lens", shoot)
    assert "Oil falls" in page(studio, "shots_lens_panel", shoot)


def test_the_grey_cards_are_added_by_one_press(client_for, owner):
    studio, shoot = client_for(owner), lit_shoot(shots=1)
    set_up(shoot, kind="overcast")
    assert "for window, a light of this day" in page(studio, "shots_lens_panel", shoot)
    studio.post(reverse("add_cards_for_lights", args=[shoot.pk]))
    studio.post(reverse("add_cards_for_lights", args=[shoot.pk]))
    assert shoot.shots.order_by("order", "pk")[0].title == "Grey card, window"
    assert shoot.shots.count() == 2
