import re
from datetime import date, time

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


def test_a_dragged_time_is_kept_said_and_undone(client_for, owner):
    studio, shoot = client_for(owner), planned_shoot(1, until_time=time(18))
    hero = f"hero:{shoot.dishes.get().pk}"
    pin = reverse("pin_run_activity", args=[shoot.pk, hero])
    said = studio.post(pin, {"minute": "240"}, follow=True).content.decode()
    assert "begins at 13:00 now." in said
    assert "Undo" in said
    said = studio.post(pin, {"minute": "5"}, follow=True).content.decode()
    assert "Because of it:" in said  # what newly fails to hold
    said = studio.post(reverse("undo_run_move", args=[shoot.pk]), follow=True).content.decode()
    assert "Every time is as it was before." in said
    assert Run.objects.get().activities.get(key=hero).pinned == 240  # undone, it is where it was
    assert studio.post(reverse("undo_run_move", args=[shoot.pk])).status_code == 409
    assert "Nothing was moved." in studio.post(pin, {"minute": "noon"}, follow=True).content.decode()


def test_a_form_opened_before_somebody_moved_the_bar_is_not_saved_over_it(client_for, owner):
    studio, shoot = client_for(owner), planned_shoot(1)
    hero = f"hero:{shoot.dishes.get().pk}"
    form = reverse("edit_run_activity", args=[shoot.pk, hero])
    opened = studio.get(form).context["form"].initial["seen"]
    studio.post(reverse("pin_run_activity", args=[shoot.pk, hero]), {"minute": "240"})
    answer = studio.post(form, {"seen": opened, "minutes": "50"})
    assert answer.status_code == 422
    assert "Someone changed this after you opened it." in answer.content.decode()
    assert 'value="50"' in answer.content.decode()
    assert Run.objects.get().activities.get(key=hero).pinned == 240
    again = answer.context["form"].data["seen"]
    assert studio.post(form, {"seen": again, "minutes": "50"}).status_code == 302
    assert Run.objects.get().activities.get(key=hero).minutes == 50


def test_two_days_have_a_page_each_and_a_dish_goes_over_in_one_press(client_for, owner):
    studio = client_for(owner)
    shoot = planned_shoot(2, first_on=date(2026, 11, 14), last_on=date(2026, 11, 15), until_time=time(10, 30))
    page = reverse("run_of_day", args=[shoot.pk])
    said = studio.get(page).content.decode()
    assert "Dishes of day 1" in said
    assert "Bean stew in clay 2 to day 2" in said  # the day is too full, so this is one press
    goes = shoot.dishes.last()
    said = studio.post(
        reverse("move_dish_to_day", args=[shoot.pk, goes.pk]), {"day": "2"}, follow=True
    ).content.decode()
    assert "is made on day 2 now" in said
    assert "Plating and hero: Bean stew in clay 2" in said
    assert "Plating and hero: Bean stew in clay 2" not in studio.get(page).content.decode()
    answer = studio.post(reverse("move_dish_to_day", args=[shoot.pk, goes.pk]), {"day": "9"})
    assert answer.status_code >= 400
    assert "The shoot has 2 days." in answer.content.decode()
    assert studio.get(page, {"day": "77"}).status_code == 200
    assert studio.get(reverse("run_paper", args=[shoot.pk]), {"day": "2"}).content.startswith(b"%PDF")


def test_nice_pictures_are_dropped_in_one_press_and_come_back(client_for, owner):
    studio, shoot = client_for(owner), planned_shoot(1, until_time=time(10))
    assert "Drop the nice-to-have pictures" in studio.get(reverse("run_of_day", args=[shoot.pk])).content.decode()
    said = studio.post(reverse("drop_nice_shots", args=[shoot.pk]), follow=True).content.decode()
    assert "skipped:" in said
    keys = ",".join(str(pk) for pk in shoot.shots.filter(state="skipped").values_list("pk", flat=True))
    assert f'name="shots" value="{keys}"' in said
    studio.post(reverse("take_shots_back", args=[shoot.pk]), {"shots": keys})
    assert not shoot.shots.filter(state="skipped").exists()


def test_a_calendar_subscribes_to_the_run_until_the_address_is_called_back(client_for, owner):
    studio, phone, shoot = client_for(owner), client_for(None), planned_shoot(1, first_on=date(2026, 11, 14))
    said = studio.post(reverse("make_run_feed", args=[shoot.pk]), follow=True).content.decode()
    address = re.search(r'href="[^"]*(/calendar/[^"]+/run\.ics)"', said)[1]
    answer = phone.get(address)
    assert answer["Content-Type"] == "text/calendar; charset=utf-8"
    assert b"DTSTART:20261114T" in answer.content
    studio.post(reverse("call_back_run_feed", args=[shoot.pk]))
    assert phone.get(address).status_code == 410


@pytest.mark.django_db(transaction=True)
def test_the_plan_betters_itself_in_place_and_a_bar_is_moved_by_keys_and_by_finger(signed_in_page, live_server):
    page, shoot = signed_in_page, planned_shoot(2)
    page.goto(live_server.url + reverse("run_of_day", args=[shoot.pk]))
    page.get_by_text("Kept on").wait_for()  # nobody pressed anything
    assert Run.objects.get().searches == 1
    hero = f"hero:{shoot.dishes.last().pk}"
    bar = page.locator(f"g[role=slider][data-key='{hero}']")
    before = int(bar.get_attribute("aria-valuenow"))
    bar.focus()
    for _ in range(3):
        bar.press("ArrowRight")
    page.get_by_text("begins at").wait_for()
    wanted = (before // 5 + 3) * 5 if before % 5 == 0 else None
    pinned = Run.objects.get().activities.get(key=hero).pinned
    assert wanted is None or pinned == wanted
    assert 10 <= pinned - before <= 17
    assert bar.get_attribute("aria-valuenow") == str(pinned)
    assert page.evaluate("document.activeElement.dataset.key") == hero  # whoever moved it goes on with it
    page.locator("#undo-move").click()
    page.get_by_text("Every time is as it was before").wait_for()
    assert Run.objects.get().activities.get(key=hero).pinned is None
    before = int(bar.get_attribute("aria-valuenow"))
    place = page.locator(f"g[data-key='{hero}'] rect").first.bounding_box()
    page.mouse.move(place["x"] + 4, place["y"] + 8)
    page.mouse.down()
    page.mouse.move(place["x"] + 84, place["y"] + 8, steps=4)
    page.mouse.up()
    page.get_by_text("begins at").wait_for()
    assert Run.objects.get().activities.get(key=hero).pinned > before


def test_on_a_phone_a_finger_that_rests_moves_a_bar_and_one_that_swipes_scrolls(browser, sign_in, owner, live_server):
    context = browser.new_context(viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True)
    page = context.new_page()
    sign_in(page, owner)
    shoot = planned_shoot(2, from_time=time(9), until_time=time(18))
    page.goto(live_server.url + reverse("run_of_day", args=[shoot.pk]))
    page.get_by_text("Kept on").wait_for()
    hero = f"hero:{shoot.dishes.last().pk}"
    row = Run.objects.get().activities.get(key=hero)
    finger = page.context.new_cdp_session(page)

    def swipe(by, rests):
        bar = page.locator(f"g[data-key='{hero}'] rect").last  # the camera's, the widest
        bar.scroll_into_view_if_needed()
        place = bar.bounding_box()
        x, y = place["x"] + place["width"] / 2, place["y"] + place["height"] / 2
        finger.send("Input.dispatchTouchEvent", {"type": "touchStart", "touchPoints": [{"x": x, "y": y}]})
        page.wait_for_timeout(rests)
        for step in range(1, 9):
            point = {"x": x + by * step / 8, "y": y}
            finger.send("Input.dispatchTouchEvent", {"type": "touchMove", "touchPoints": [point]})
            page.wait_for_timeout(20)
        finger.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})

    swipe(-60, rests=0)
    page.wait_for_timeout(500)
    row.refresh_from_db()
    assert row.pinned is None
    swipe(40, rests=450)
    page.get_by_text("begins at").wait_for()
    was = row.start
    row.refresh_from_db()
    assert row.pinned > was
    page.locator("#undo-move").tap()
    page.get_by_text("Every time is as it was before").wait_for()
    row.refresh_from_db()
    assert (row.pinned, row.start) == (None, was)
    context.close()


@pytest.mark.parametrize(("state", "leads_to"), [("enquiry", "edit_shoot"), ("confirmed", "postpone_shoot")])
def test_a_second_day_is_given_where_the_days_of_the_shoot_can_be_changed(client_for, owner, state, leads_to):
    studio, shoot = client_for(owner), planned_shoot(3, until_time=time(10), state=state)
    said = studio.get(reverse("run_of_day", args=[shoot.pk])).content.decode()
    assert f'href="{reverse(leads_to, args=[shoot.pk])}">Give the shoot a second day' in said


@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize("fault", ["gone", "broken"])
def test_a_bar_whose_move_did_not_reach_the_server_goes_back(browser, sign_in, owner, live_server, fault):
    page, shoot = sign_in(browser.new_page(), owner), planned_shoot(1)
    page.goto(live_server.url + reverse("run_of_day", args=[shoot.pk]))
    page.get_by_text("Kept on").wait_for()
    answers = {"gone": lambda route: route.abort(), "broken": lambda route: route.fulfill(status=500, body="")}
    page.route("**/pin/", answers[fault])
    bar = page.locator("g[role=slider][data-key^='hero']")
    before = bar.get_attribute("aria-valuenow")
    bar.press("ArrowRight")
    page.get_by_text("could not be" if fault == "gone" else "could not be made").first.wait_for()
    assert bar.get_attribute("aria-valuenow") == before
    assert bar.get_attribute("transform") is None
    page.close()
